"""Whatever Handline runs on may be used by it: each licence is known and accepted, and where it was read it is so."""

from __future__ import annotations

import re
from importlib.metadata import PackageNotFoundError, distribution, requires

import pytest

from docs.licences import ACCEPTED, CARRIED, EXTRAS, READ, is_accepted, licences, spdx_of

LICENCES = {one.package: one for one in licences()}
_PHRASES = {
    "BSD-3-Clause": r"endorse or promote|may be used to endorse",
    "BSD-2-Clause": r"Redistribution and use in source and binary forms",
    "Apache-2.0": r"Apache License",
    "MIT": r"Permission is hereby granted, free of charge",
}


def test_everything_that_we_ask_for_is_in_the_list() -> None:
    asked = {re.split(r"[^A-Za-z0-9_.-]", line)[0].lower() for line in requires("handline") or ()}
    assert asked <= set(LICENCES)
    assert len(LICENCES) > 40
    assert {one.extra for one in LICENCES.values()} == {"", *EXTRAS.values()}
    assert LICENCES["numpy"].extra == ""
    assert LICENCES["tornado"].extra == "cluster"


@pytest.mark.parametrize("package", sorted(LICENCES))
def test_a_licence_is_known_and_accepted(package: str) -> None:
    spdx = LICENCES[package].spdx
    assert spdx is not None, f"{package}: read its licence and write it into docs/licences.py"
    assert is_accepted(spdx), f"{package}: {spdx}"


@pytest.mark.parametrize("package", sorted(READ))
def test_what_was_read_in_a_licence_file_stands_there(package: str) -> None:
    try:
        found = distribution(package)
    except PackageNotFoundError:
        pytest.skip(f"{package} is not needed on this machine")
    said = found.metadata.get("License-Expression")
    if said:
        assert set(re.split(r" AND ", said)) <= {*re.split(r" AND ", READ[package])} or is_accepted(said)
        return
    names = [file for file in found.files or () if re.search(r"licen[cs]e|copying", file.name, re.IGNORECASE)]
    text = "\n".join(str(file.locate().read_text(encoding="utf-8")) for file in names if file.suffix != ".py")
    for one in re.split(r" AND | OR ", READ[package]):
        assert re.search(_PHRASES[one], " ".join(text.split())), f"{package}: {one}"


def test_what_is_carried_along_is_accepted() -> None:
    for carried in CARRIED:
        assert carried.licence in ACCEPTED


def test_a_licence_that_asks_for_more_is_refused() -> None:
    assert not is_accepted("GPL-3.0-only")
    assert not is_accepted("MIT AND AGPL-3.0-or-later")
    assert is_accepted("GPL-2.0-only OR MIT")
    assert spdx_of("a-package-that-nobody-made") is None
