"""The rooms of the house, in the order in which they import each other."""

ROOMS = (
    "files",
    "standards",
    "model",
    "circuits",
    "checks",
    "interview",
    "years",
    "sourcing",
    "ledger",
    "program",
    "studies",
    "reports",
    "cli",
)
"""Each may import only from rooms before it, and from itself."""
