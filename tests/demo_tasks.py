"""Tasks of the demo catalog that no recipe of its own names: only some shops have such work, and a recipe of theirs does."""

FOR_RECIPES_OF_ONES_OWN = frozenset(
    {
        "dig-trench-ft",
        "drill-core",
        "drill-wall",
        "firestop",
        "mount-starter",
        "pick-up-parts",
        "set-overload",
        "travel",
        "wait-for-inspection",
    }
)
