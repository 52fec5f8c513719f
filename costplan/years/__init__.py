"""Events, dates and present value."""
