"""Which offers can meet a need, and what they cost with everything."""
