"""Published tables as data, each with its source, and look-ups over them. No rules live here."""
