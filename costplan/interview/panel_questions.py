"""The questions of a guided start about each panel, from its label and its main breaker."""

from collections.abc import Sequence

from costplan.interview.answer_readers import name_in, optional
from costplan.interview.answers import (
    UNKNOWN,
    Families,
    as_on_the_label,
    family_reader,
    read_main,
    read_other_load,
    read_spaces,
    read_system,
)
from costplan.interview.asking import Known, Question
from costplan.model.system import System


def panel_questions(families: Families | None) -> Sequence[Question]:
    """What is asked of each panel; `families` are the breaker families of a catalog, None where it is yet to be written."""

    def first(known: Known) -> str:
        more = bool(known.of("panel"))
        return "Another panel: its name" if more else "What do you call the panel that feeds the shop?"

    def suiting(known: Known) -> Sequence[str] | None:
        return None if families is None else families(known.get("system"))

    return (
        Question(
            "panel",
            first,
            "main panel",
            "Only a name, to tell it from other panels.",
            name_in("panel"),
            "main panel",
            of_each=True,
            also=("name",),
        ),
        Question(
            "system",
            "Which volts has it?",
            "1",
            "On the label inside the door. A house has 120/240 single-phase. With three hot wires, look for 208Y/120, 240 or "
            "480Y/277; an electrician measures it.",
            lambda text, _: read_system(text),
            str(System.SINGLE_120_240),
            tuple(map(str, System)),
            also=("volts", "phases"),
            listed="{}",
        ),
        Question(
            "breakers",
            "Which breakers does its label name?",
            "the type letters on the label",
            "The label inside the door says which types of breakers may go in. No other fits safely, whatever its shape.",
            lambda text, known: family_reader(suiting(known), known.get("panel"))(text),
            lambda known: next(iter(suiting(known) or ()), as_on_the_label(known.get("panel"))),
            lambda known: suiting(known) or (),
        ),
        Question(
            "free",
            "How many of its breaker spaces are free?",
            "6",
            "Count places without a breaker or with a blank plate that can be broken out: each takes one 120 V breaker. A 240 "
            "V one takes two of them, a three-phase one three. Leave out places that the label counts out, or where no metal "
            "finger stands behind the plate to push a breaker on: an electrician looks, never you behind the cover.",
            lambda text, _: read_spaces(text),
            of_each=True,
            unit="spaces",
            also=("spaces", "free spaces"),
            listed="{} free",
        ),
        Question(
            "main",
            "How large is its main breaker, in amperes, or its main lugs?",
            "100, or unknown",
            "On the handle of the large breaker at the top or the bottom of it. A panel without one has lugs: the label inside "
            "the door says main lugs or max. amps. Unknown: the panel itself is taken as no limit, and the load table asks.",
            optional(read_main),
            UNKNOWN,
            unit="A",
            of_each=True,
            also=("rating", "lugs", "main breaker"),
            listed="main {}",
        ),
        Question(
            "other load",
            "What else hangs on it, in amperes: lights, heat, the house?",
            "12, none, or unknown",
            "What its other breakers feed at the most at one time, on the fuller line, with what is on for hours counted at "
            "125 %; an electrician adds it up or measures it. Unknown: all of its main is taken to be free for the machines, "
            "and you are asked again.",
            optional(read_other_load),
            UNKNOWN,
            when=lambda known: known.get("main") not in ("", UNKNOWN),
            unit="A",
            of_each=True,
            also=("what else", "others"),
            listed="other load {}",
        ),
    )
