"""How many wires a conduit takes."""

from costplan.standards.tables import table


def trade_size(awg: str, wires: int) -> str:
    """The smallest trade size, from 3/4 in up, of electrical metallic tubing that takes `wires` of one size.

    Raises LookupError when none in the table does.
    Source: NFPA 70 (NEC) 2023, Informative Annex C, Table C.1, THHN/THWN/THWN-2.
    """
    columns = {
        "3/4": "emt_3_4_in",
        "1": "emt_1_in",
        "1-1/4": "emt_1_1_4_in",
        "1-1/2": "emt_1_1_2_in",
        "2": "emt_2_in",
    }
    row = next((row for row in table("nfpa70_table_c1") if row["conductor_awg"] == awg), None)
    if row is None:
        raise LookupError(f"NFPA 70 Table C.1: no row for {awg} AWG; it covers 14 to 4/0 AWG")
    for size, column in columns.items():
        if int(row[column]) >= wires:
            return size
    raise LookupError(f"NFPA 70 Table C.1: no conduit up to 2 in takes {wires} wires of {awg} AWG")
