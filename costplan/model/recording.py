"""A finished job written into jobs.yaml, with every comment and line of the user's kept."""

import re
from collections.abc import Sequence

from costplan.files.problems import At, Problem, UserMistakeError, errors_of
from costplan.files.writing import splice
from costplan.files.yaml_reader import parse_yaml
from costplan.model.catalog import Job
from costplan.model.loading import JobsFile, entry_of
from costplan.model.yaml_text import quoted

TASK_FORM = "task; quantity; hours; crew"
PRICE_FORM = "part; supplier; condition; price; per"
NEW_FILE = "# What finished jobs took: costplan jobs compares it with the estimates, and the hours and prices are used.\n"
_EMPTY_LIST = re.compile(r"(?m)^jobs:[ \t]*\[[ \t]*\]")


def job_lines(name: str, day: str, tasks: Sequence[str], prices: Sequence[str]) -> list[str]:
    """The job as lines of YAML, not indented; `tasks` and `prices` are written as the two forms.

    Raises ValueError, naming every one that is not written so.
    """
    wrong = [] if name.strip() else ["the name is empty; write what the job was"]
    lines = [f"- name: {quoted(name.strip())}", f"  date: {quoted(day.strip())}"]
    for word, texts, form in (("tasks", tasks, TASK_FORM), ("prices", prices, PRICE_FORM)):
        if texts:
            lines.append(f"  {word}:")
        words = form.split("; ")
        for text in texts:
            parts = [part.strip() for part in text.split(";")]
            if len(parts) != len(words):
                wrong.append(
                    f'"{text}" has {len(parts)} parts between semicolons, not {len(words)}; write {form}'
                )
                continue
            said = ", ".join(f"{word}: {quoted(part)}" for word, part in zip(words, parts, strict=True))
            lines.append(f"    - {{{said}}}")
    if wrong:
        raise ValueError("\n".join(wrong))
    return lines


def job_of(lines: Sequence[str]) -> Job:
    """The job that such lines say. Raises UserMistakeError with all that is wrong with it."""
    text = "jobs:\n" + "".join(f"  {line}\n" for line in lines)
    read, _, problems = entry_of(parse_yaml(text, "the new job"), JobsFile)
    if read is None:
        raise UserMistakeError(errors_of(problems))
    return read.jobs[0]


def with_job(text: str, path: str, lines: Sequence[str]) -> str:
    """The text of jobs.yaml with the job's lines after its last job, all else as it was.

    Empty text becomes a new file. Raises UserMistakeError when the file is not as it should be, or its list is
    written in brackets, where no line can be added.
    """
    job = job_of(lines)
    newline = "\r\n" if "\r\n" in text else "\n"
    before: list[Job] = []
    indent = 2
    if not re.sub(r"(?m)#.*$", "", text).strip():
        text = _ended(text or NEW_FILE, newline) + f"jobs:{newline}"
    else:
        read, places, problems = entry_of(parse_yaml(text, path), JobsFile)
        if read is None:
            raise UserMistakeError(errors_of(problems))
        before = read.jobs
        place = places.by_trail["jobs",]
        sign = places.lines[place.line - 1][place.column - 1 :][:1]
        empty = _EMPTY_LIST.search(text)
        if not before and empty:
            text = splice(text, empty.start(), empty.end(), "jobs:")
        elif sign == "-":
            indent = place.column - 1
        else:
            raise _mistake(path, place.line, "lists the jobs in brackets", "begin each with a dash in a line")
    text = _ended(text, newline) + "".join(f"{' ' * indent}{line}{newline}" for line in lines)
    after, _, problems = entry_of(parse_yaml(text, path), JobsFile)
    if after is None or after.jobs != [*before, job]:
        line = problems[0].at.line if problems else 0
        raise _mistake(path, line, "does not end with its last job", "move what follows up, or delete it")
    return text


def _ended(text: str, newline: str) -> str:
    return text if not text or text.endswith("\n") else text + newline


def _mistake(path: str, line: int, message: str, mend: str) -> UserMistakeError:
    return UserMistakeError([Problem("jobs-not-added", At(path, line), "", message, mend)])
