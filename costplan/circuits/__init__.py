"""Sizing a machine's circuit, the ways of powering it, and what a change of it takes."""
