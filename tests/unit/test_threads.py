"""A module loaded in a thread while something else is done."""

import sys
import threading

import pytest

from standback.threads import loading

MODULE = "xml.etree.ElementInclude"


def test_a_module_is_there_afterwards_and_its_thread_is_not(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, MODULE, raising=False)
    before = threading.active_count()
    with loading(MODULE):
        pass
    assert MODULE in sys.modules
    assert threading.active_count() == before


def test_what_cannot_be_loaded_is_told_by_whoever_imports_it() -> None:
    with loading("standback.no_such_room"):
        pass
    with pytest.raises(ImportError):
        __import__("standback.no_such_room")


def test_what_fails_meanwhile_is_raised_once_the_module_is_loaded() -> None:
    with pytest.raises(ValueError, match="meanwhile"), loading(MODULE):
        raise ValueError("meanwhile")
    assert MODULE in sys.modules
