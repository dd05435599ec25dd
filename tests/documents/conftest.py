from __future__ import annotations

import pytest

from dossier.coverage.view import View, view
from dossier.documents.answers import Answers, answers_of
from tests.documents import example


@pytest.fixture(scope="session")
def seen() -> View:
    return view(example.project(), example.AS_OF)


@pytest.fixture(scope="session")
def answers(seen: View) -> Answers:
    return answers_of(seen.project)
