"""The list of pace models is whole, and says where each comes from."""

from __future__ import annotations

import pytest

from handline.errors import InputError
from handline.sources import source
from handline.walking.registry import PACE_MODELS, GradeModel, pace_model

EXPECTED = {
    "naismith_1892": "leg",
    "langmuir_1984": "leg",
    "tobler_1993": "grade",
    "tobler_1993_off_path": "grade",
    "din_33466": "leg",
    "sac_rule": "leg",
    "rees_2004": "grade",
    "marquez_2017": "grade",
    "irmischer_2018": "grade",
    "irmischer_2018_off_path": "grade",
    "sullivan_2020_low": "grade",
    "sullivan_2020_moderate": "grade",
    "sullivan_2020_high": "grade",
    "campbell_2019_p1": "grade",
    "campbell_2019_p5": "grade",
    "campbell_2019_p10": "grade",
    "campbell_2019_p15": "grade",
}


def test_every_model_is_there() -> None:
    assert {key: model.form for key, model in PACE_MODELS.items()} == EXPECTED


def test_every_model_names_sources_that_exist() -> None:
    for model in PACE_MODELS.values():
        assert source(model.source).key == model.source
        if isinstance(model, GradeModel):
            assert source(model.limits.source).key == model.limits.source
            assert model.limits.lowest < 0.0 < model.limits.highest


def test_what_the_walkers_of_each_model_carried() -> None:
    """Crews about 20 kg, from memory; nothing where the source does not say."""
    for key, model in PACE_MODELS.items():
        crew = key.startswith("sullivan_2020")
        assert model.carried_kg == (20.0 if crew else 0.0)
        assert model.carried_source == ("sullivan_2020_pack" if crew else "our_load_rule")
        assert source(model.carried_source).key == model.carried_source


def test_titles_tell_models_apart() -> None:
    assert len({model.title for model in PACE_MODELS.values()}) == len(PACE_MODELS)


def test_a_near_miss_is_suggested() -> None:
    with pytest.raises(InputError, match='did you mean "tobler_1993"'):
        pace_model("tobler_1939")
