import pytest

from costplan.standards import cautions

NEVER_MISSING = (
    "no design",
    "panel work",
    "permits",
    "cords and fixed wiring",
    "surplus inspection",
    "must be new",
    "lockout",
    "disconnect in sight",
    "horsepower marks",
    "ground-fault protection",
    "voltage drop",
    "phase converters",
)


@pytest.mark.parametrize("topic", NEVER_MISSING)
def test_topic_has_a_short_and_a_full_text(topic: str) -> None:
    caution = cautions.find_caution(topic)

    assert 0 < len(caution.short) <= 120
    assert len(caution.full) > len(caution.short)


@pytest.mark.parametrize("caution", cautions.cautions(), ids=lambda caution: caution.topic)
def test_every_caution_says_how_far_it_was_confirmed(caution: cautions.Caution) -> None:
    assert caution.confirmation in {"page", "page in part", "from memory", "common practice, no source"}
    assert caution.section or caution.confirmation == "common practice, no source"


@pytest.mark.parametrize("caution", cautions.cautions(), ids=lambda caution: caution.topic)
def test_texts_are_sentences(caution: cautions.Caution) -> None:
    assert caution.short.endswith(".")
    assert caution.full.endswith(".")
    assert "\n" not in caution.full


def test_topics_are_unique() -> None:
    assert len(cautions.topics()) == len(set(cautions.topics()))


def test_unknown_topic_lists_the_topics() -> None:
    with pytest.raises(LookupError, match='no caution on "weather"; topics are no design, panel work'):
        cautions.find_caution("weather")
