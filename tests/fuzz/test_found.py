"""Each distinct failure that the fuzzer found, as a case of its own."""

from costplan.files.problems import errors_of
from costplan.files.yaml_reader import parse_yaml


def test_a_list_in_the_place_of_a_word_is_mended() -> None:
    """Found by seed 7: the complaint had no mend."""
    read = parse_yaml("shop: x\n[a, b]: c\n", "shop.yaml")

    assert [problem.code for problem in errors_of(read.problems)] == ["yaml-odd-word"]
    assert read.problems[0].mend == 'write "word: value"; put quotes around a text that begins with [ or {'
