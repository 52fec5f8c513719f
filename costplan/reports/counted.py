"""So many machines of a group, in words."""


def several(name: str, count: int, of: int) -> str:
    """A machine, or so many of a group: `saw`, `12 saws`, `one of the 12 saws`, `7 of the 12 saws`."""
    if of == 1:
        return name
    if count == of:
        return f"{count} {plural(name)}"
    return f"{'one' if count == 1 else count} of the {of} {plural(name)}"


def plural(name: str) -> str:
    """The name of several machines; one that has figures, as of a place, or is in the plural already stays as it is."""
    last = name.rpartition(" ")[2].lower()
    if not last.isalpha() or not last.isascii() or any(sign.isdigit() for sign in name):
        return name
    if last.endswith(("ss", "x", "ch", "sh", "z")):
        return f"{name}es"
    if last.endswith("y") and last[-2:-1] not in "aeiou":
        return f"{name[:-1]}ies"
    return name if last.endswith("s") else f"{name}s"
