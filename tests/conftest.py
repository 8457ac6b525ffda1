"""Options of the suite, and where its seconds went."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from tests.sizes import RUN

GROUPS = ("test_model_", "test_tui_", "test_outside_")
_SECONDS: dict[str, float] = dict.fromkeys((*GROUPS, "others"), 0.0)
_TESTS: Counter[str] = Counter()


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--long", action="store_true", help="the promised numbers of examples, and the long tests"
    )
    parser.addoption(
        "--update-golden",
        action="store_true",
        help="write the golden texts anew; read every one of them before you commit it",
    )


def pytest_configure(config: pytest.Config) -> None:
    RUN.long = bool(config.getoption("--long"))
    RUN.update_golden = bool(config.getoption("--update-golden"))
    settings.register_profile(
        "clampbook",
        deadline=None,
        print_blob=True,
        suppress_health_check=[HealthCheck.too_slow],
    )
    settings.load_profile("clampbook")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if RUN.long:
        return
    skip = pytest.mark.skip(reason="a long test: it runs with --long")
    for item in items:
        if "long" in item.keywords:
            item.add_marker(skip)


@pytest.fixture(autouse=True)
def _not_at_home(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Give every test a home of its own, so that none touches the user's."""
    home = tmp_path_factory.getbasetemp() / "home"
    home.mkdir(exist_ok=True)
    for name in ("HOME", "USERPROFILE", "XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME"):
        monkeypatch.setenv(name, str(home))


@pytest.fixture(scope="session")
def data() -> Path:
    """Return the folder of test data."""
    return Path(__file__).parent / "data"


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    name = Path(report.location[0]).name
    group = next((g for g in GROUPS if name.startswith(g)), "others")
    _SECONDS[group] += report.duration
    if report.when == "call":
        _TESTS[group] += 1


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    terminalreporter.write_line("")
    for group in (*GROUPS, "others"):
        if _TESTS[group]:
            seconds, tests = _SECONDS[group], _TESTS[group]
            terminalreporter.write_line(f"{group:14} {seconds:7.1f} s in {tests} tests")
