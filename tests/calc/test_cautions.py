"""Every caution is there, is spelled out, and defers to those who are licensed."""

import pytest

from dossier.calc import coating, dose, pipe, pressure_test, radiography, sources
from dossier.calc.cautions import (
    CAUTIONS,
    DOCUMENTS,
    SUBJECTS,
    caution,
    caution_ids,
    caution_texts,
)
from dossier.errors import InputError


def test_subjects_and_documents_name_only_known_cautions() -> None:
    named = {key for keys in (*SUBJECTS.values(), *DOCUMENTS.values()) for key in keys}
    assert named == set(CAUTIONS)


@pytest.mark.parametrize("subject", sorted(SUBJECTS))
def test_a_caution_is_whole_sentences(subject: str) -> None:
    text = caution(subject)
    assert text.endswith(".")
    assert all(CAUTIONS[key] in text for key in SUBJECTS[subject])


@pytest.mark.parametrize("subject", sorted(SUBJECTS))
def test_a_caution_defers(subject: str) -> None:
    deferring = ("law", "licence", "permit", "site", "competent", "local rules")
    assert any(word in caution(subject).lower() for word in deferring)


@pytest.mark.parametrize("document", sorted(DOCUMENTS))
def test_texts_follow_the_ids(document: str) -> None:
    texts = caution_texts(document)
    assert tuple(texts) == caution_ids(document)
    assert all(texts[key] == CAUTIONS[key] for key in texts)


def test_modules_carry_the_caution_of_their_subject() -> None:
    for module in (radiography, sources, dose):
        assert caution("radiation") == module.CAUTION
    assert caution("coating voltage") == coating.CAUTION
    assert pipe.CAUTION == pressure_test.CAUTION == caution("pressure")


def test_unknown_names_are_refused() -> None:
    with pytest.raises(InputError, match="radiation"):
        caution("noise")
    with pytest.raises(InputError, match="holiday_report"):
        caution_ids("menu")
