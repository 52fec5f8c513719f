"""The exact choice, the ranking, the simulation, what would turn the answer."""
