"""Alarms, dashboard and unit name what there is."""

import configparser
import json
import re

import pytest

from service.web.telemetry import metrics
from tests.docker.dockerfile import ROOT
from tests.support.yaml_data import read_yaml

FOLDER = ROOT / "docker" / "monitoring"
COUNTED = (
    metrics.REQUESTS,
    metrics.DURATION,
    metrics.PHASES,
    metrics.VERDICTS,
    metrics.FOUND,
    metrics.LINES_LOST,
    metrics.LOADED,
)
FAMILIES = {family.name: family for metric in COUNTED for family in metric.describe()}
LABELS = {
    metric.describe()[0].name: {*metric._labelnames, "le"} for metric in COUNTED
}  # the library tells labels nowhere else
ENDINGS = ("_total", "_bucket", "_count", "_sum", "")


def expressions():
    alarms = read_yaml(FOLDER / "alerts.yaml")["groups"]
    yield from ((rule["alert"], rule["expr"]) for group in alarms for rule in group["rules"])
    panels = json.loads((FOLDER / "dashboard.json").read_text(encoding="utf-8"))["panels"]
    yield from ((panel["title"], target["expr"]) for panel in panels for target in panel["targets"])


def family_of(name):
    return next(name.removesuffix(end) for end in ENDINGS if name.removesuffix(end) in FAMILIES)


@pytest.mark.parametrize(("title", "expression"), list(expressions()))
def test_it_asks_for_metrics_and_labels_that_there_are(title, expression):
    names = re.findall(r"engine_build_rules_\w+", expression)
    assert names
    families = {family_of(name) for name in names}
    by = {
        label.strip() for labels in re.findall(r"by \(([^)]*)\)", expression) for label in labels.split(",")
    }
    within = set(re.findall(r"(\w+)[!=]~?\"", expression))
    assert by | within <= set().union(*(LABELS[family] for family in families))


def test_every_metric_is_shown_and_told():
    shown = " ".join(expression for _, expression in expressions())
    told = (ROOT / "docker" / "README.md").read_text(encoding="utf-8")
    for name in FAMILIES:
        assert name in shown
        assert f"`{name.removeprefix('engine_build_rules_')}" in told


def test_every_alarm_says_what_to_do():
    for group in read_yaml(FOLDER / "alerts.yaml")["groups"]:
        for rule in group["rules"]:
            assert rule["labels"]["severity"] in ("page", "ticket")
            assert set(rule["annotations"]) == {"summary", "description"}


def test_the_unit_starts_and_rolls_by_commands_that_there_are(capsys):
    from service.__main__ import main

    unit = configparser.ConfigParser(strict=False, interpolation=None)
    unit.optionxform = str
    unit.read(ROOT / "docker" / "systemd" / "engine-build-rules.service", encoding="utf-8")
    service = unit["Service"]
    with pytest.raises(SystemExit):
        main(["--help"])
    commands = capsys.readouterr().out
    for line in ("ExecStart", "ExecReload"):
        assert re.search(rf"^    {service[line].split()[1]} ", commands, re.MULTILINE)
    # Where the unit keeps the number is what a roll reads.
    assert service["ExecReload"].endswith(service["Environment"].removeprefix("PIDFILE="))
    assert (service["Type"], service["NotifyAccess"]) == ("notify", "all")
