"""A missing browser skips these tests, or fails them where they must run."""

import pytest

from tests.browser.fixtures import MUST_RUN, missing


def test_missing_browser_skips():
    with pytest.raises(pytest.skip.Exception, match="no browser"):
        missing("no browser", {})


def test_missing_browser_fails_where_it_must_run():
    with pytest.raises(pytest.fail.Exception, match="forbids to skip"):
        missing("no browser", {MUST_RUN: "1"})


def test_the_server_sends_messages_of_a_kernel_at_once(lab):
    assert "thermo_kit.panels.server | extension was successfully loaded" in (lab.home / "server.log").read_text()
