"""What an environment weighs, package by package, heaviest first.

Usage: python .ci/weigh.py ENVIRONMENT
"""

from __future__ import annotations

import sys
from importlib import metadata
from pathlib import Path


def weights(place: Path) -> dict[str, int]:
    """Bytes of the files of each package below the environment, compiled files left out."""
    found = {}
    for site in sorted(place.glob("lib/python3*/site-packages")):
        for package in metadata.distributions(path=[str(site)]):
            files = (Path(str(package.locate_file(file))) for file in package.files or [])
            kept = (file for file in files if file.suffix != ".pyc" and file.is_file())
            found[f"{package.name} {package.version}"] = sum(file.stat().st_size for file in kept)
    return dict(sorted(found.items(), key=lambda pair: -pair[1]))


if __name__ == "__main__":
    weighed = weights(Path(sys.argv[1]))
    for name, size in weighed.items():
        print(f"{size / 1e6:8.1f} MB  {name}")
    print(f"{sum(weighed.values()) / 1e6:8.1f} MB  in {len(weighed)} packages")
