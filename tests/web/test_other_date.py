"""Another date asked of a trip whose forecast says nothing of it: with the weather that is usual in its months."""

from __future__ import annotations


def test_a_date_beyond_the_forecast_has_the_weather_of_the_months(table):
    answer = table.ask("/trips/tamsin-dome/day.json?date=2027-09-10")
    assert answer.status == 200
    assert answer.json["date"] == "2027-09-10"
    page = table.ask("/trips/tamsin-dome/day?date=2027-09-10")
    while page.status == 202:
        page = table.ask("/trips/tamsin-dome/day?date=2027-09-10")
    assert "The weather as usual in the months" in page.text
    assert "forecast.csv" in page.text
