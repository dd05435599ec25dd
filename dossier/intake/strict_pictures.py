"""Pictures opened so that a broken or monstrous one is an error, whatever else is loaded."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def strict_pictures() -> Iterator[None]:
    """Inside, a picture cut short or too large to be true raises instead of passing.

    The PDF engine, once loaded, lets broken pictures pass everywhere in the process: half of a
    scanned certificate would be bound in as a grey field.
    """
    from PIL import Image, ImageFile

    lenient, ImageFile.LOAD_TRUNCATED_IMAGES = ImageFile.LOAD_TRUNCATED_IMAGES, False
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            yield
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = lenient
