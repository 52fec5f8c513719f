"""A job added to jobs.yaml: what was there stays, letter by letter, and what cannot be added is told."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costplan.files.problems import UserMistakeError
from costplan.files.yaml_reader import parse_yaml
from costplan.model.loading import JobsFile, entry_of
from costplan.model.recording import NEW_FILE, job_lines, job_of, with_job

LINES = job_lines(
    "two drops", "2026-03-02", ["run-cable; 2; 90 min; owner"], ["R-6-20; counter; new; 12.50; each"]
)
ADDED = """\
- name: two drops
  date: 2026-03-02
  tasks:
    - {task: run-cable, quantity: 2, hours: 90 min, crew: owner}
  prices:
    - {part: R-6-20, supplier: counter, condition: new, price: 12.50, per: each}
"""
OLD = """\
# our jobs
jobs:   # newest last
    -   name: shed   # rainy
        date: "2025-01-02"
        tasks:
          - {task: run-cable, quantity: 1, hours: 2, crew: owner}
# the end"""


def indented(text: str, spaces: int) -> str:
    return "".join(f"{' ' * spaces}{line}\n" for line in text.splitlines())


def test_a_new_file_begins_with_a_comment() -> None:
    assert with_job("", "jobs.yaml", LINES) == NEW_FILE + "jobs:\n" + indented(ADDED, 2)


def test_comments_and_indents_stay() -> None:
    assert with_job(OLD, "jobs.yaml", LINES) == OLD + "\n" + indented(ADDED, 4)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("# mine\n", "# mine\njobs:\n" + indented(ADDED, 2)),
        ("jobs: [ ] # none yet\n", "jobs: # none yet\n" + indented(ADDED, 2)),
        (
            "jobs:\n- name: a\n  date: 2025-01-02\n  tasks: [{task: t, hours: 1, crew: owner}]\n\n",
            "jobs:\n- name: a\n  date: 2025-01-02\n  tasks: [{task: t, hours: 1, crew: owner}]\n\n" + ADDED,
        ),
    ],
)
def test_other_beginnings(text: str, expected: str) -> None:
    assert with_job(text, "jobs.yaml", LINES) == expected


def test_line_breaks_stay_as_they_are() -> None:
    text = with_job(OLD.replace("\n", "\r\n"), "jobs.yaml", LINES)
    assert text.startswith(OLD.replace("\n", "\r\n"))
    assert text.count("\n") == text.count("\r\n")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("jobs: [{name: a, date: 2025-01-02, tasks: [{task: t, hours: 1, crew: owner}]}]\n", "in brackets"),
        (OLD + "\n...\n", "does not end with its last job"),
        ("jobs:\n  - name: a\n", 'lacks "date"'),
        ("jobs: 3\n", "not a list"),
    ],
)
def test_what_cannot_be_added_to_is_told(text: str, words: str) -> None:
    with pytest.raises(UserMistakeError, match=words):
        with_job(text, "jobs.yaml", LINES)


def test_every_malformed_part_is_told_at_once() -> None:
    with pytest.raises(ValueError, match="not 4") as error:
        job_lines(" ", "2026-03-02", ["run-cable; 2"], ["R-6-20", "P; c; new; 1; each"])
    assert "the name is empty" in str(error.value)
    assert '"R-6-20" has 1 parts between semicolons, not 5' in str(error.value)
    assert len(str(error.value).splitlines()) == 3


@pytest.mark.parametrize(
    ("day", "task", "words"),
    [
        ("yesterday", "run-cable; 1; 2; owner", "not a day"),
        ("2026-03-02", "run-cable; 0; 2; owner", "out of range"),
        ("2026-03-02", "run-cable; 1; 2 days; owner", "allowed units"),
    ],
)
def test_values_are_checked_as_in_the_file(day: str, task: str, words: str) -> None:
    with pytest.raises(UserMistakeError, match=words):
        job_of(job_lines("job", day, [task], []))


def test_a_job_without_hours_and_prices_is_none() -> None:
    with pytest.raises(UserMistakeError, match="records nothing"):
        job_of(job_lines("job", "2026-03-02", [], []))


words = st.text(
    st.characters(exclude_categories=("C", "Z"), exclude_characters=";"), min_size=1, max_size=12
) | st.sampled_from(["true", "null", "- a", "a: b", "#1", "{x}", "it's", 'say "so"', "12"])


@given(st.lists(st.tuples(words, words, words), min_size=1, max_size=5))
def test_any_words_are_read_back(jobs: list[tuple[str, str, str]]) -> None:
    text = ""
    for name, task, crew in jobs:
        text = with_job(text, "jobs.yaml", job_lines(name, "2026-03-02", [f"{task}; 1; 2; {crew}"], []))
    read, _, problems = entry_of(parse_yaml(text, "jobs.yaml"), JobsFile)
    assert problems == []
    assert read is not None
    assert [(job.name, job.tasks[0].task, job.tasks[0].crew) for job in read.jobs] == jobs
