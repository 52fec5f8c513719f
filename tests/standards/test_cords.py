from costplan.standards import cords


def test_junior_hard_service_stops_at_10_awg() -> None:
    assert (cords.largest_awg_of_service("hard"), cords.largest_awg_of_service("junior hard")) == ("2", "10")
