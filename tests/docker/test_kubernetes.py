"""The manifests fit the published schemas, one another, and what was measured."""

import re

import kubernetes_validate
import pytest

from service.version import VERSION
from tests.docker.dockerfile import ROOT, environment, instructions
from tests.support.yaml_data import read_yaml

FOLDER = ROOT / "docker" / "kubernetes" / "base"
OVERLAYS = ("development", "production")
NAME = "engine-build-rules"
# The first version in which a sleep before the stop needs no switch, and the newest the library knows.
VERSIONS = ("1.30", kubernetes_validate.latest_version())


def read(path):
    return read_yaml(path)


def mebibytes(text):
    number, unit = re.fullmatch(r"(\d+)(Mi|Gi)", text).groups()
    return int(number) * {"Mi": 1, "Gi": 1024}[unit]


MANIFESTS = {path.stem: read(path) for path in sorted(FOLDER.glob("*.yaml")) if path.stem != "kustomization"}
DEPLOYMENT = MANIFESTS["deployment"]["spec"]
POD = DEPLOYMENT["template"]
(CONTAINER,) = POD["spec"]["containers"]
LABELS = POD["metadata"]["labels"]


def picks(selector):
    return selector["matchLabels"].items() <= LABELS.items()


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("name", MANIFESTS)
def test_fits_the_published_schema(name, version):
    kubernetes_validate.validate(MANIFESTS[name], version, strict=True)


def test_a_misspelt_field_would_be_found():
    broken = MANIFESTS["deployment"] | {"spec": DEPLOYMENT | {"replica": 2}}
    with pytest.raises(kubernetes_validate.ValidationError):
        kubernetes_validate.validate(broken, VERSIONS[0], strict=True)


def test_the_list_names_every_manifest():
    listed = read(FOLDER / "kustomization.yaml")
    assert listed["kind"] == "Kustomization" and sorted(listed["resources"]) == sorted(
        f"{name}.yaml" for name in MANIFESTS
    )


@pytest.mark.parametrize("name", OVERLAYS)
def test_an_overlay_has_a_namespace_and_names_the_image(name):
    overlay = read(FOLDER.parent / name / "kustomization.yaml")
    assert overlay["resources"] == ["../base"] and overlay["namespace"].startswith(NAME)
    (image,) = overlay["images"]
    assert image["name"] == CONTAINER["image"].partition(":")[0]
    # In production a digest: a tag may come to mean another image.
    assert ("digest" in image) == (name == "production")


def test_what_an_overlay_changes_is_there():
    kinds = {manifest["kind"]: manifest for manifest in MANIFESTS.values()}
    for patch in read(FOLDER.parent / "development" / "kustomization.yaml")["patches"]:
        manifest = kinds[patch["target"]["kind"]]
        for path in re.findall(r"path: (\S+),", patch["patch"]):
            place = manifest
            for step in path.strip("/").split("/"):
                place = place[int(step)] if isinstance(place, list) else place[step]
            assert place is not None


def test_one_name_and_the_recommended_labels():
    for manifest in MANIFESTS.values():
        assert manifest["metadata"]["name"] == NAME
        assert (
            manifest["metadata"]["labels"]["app.kubernetes.io/name"] == NAME
            and manifest["metadata"]["labels"]["app.kubernetes.io/component"]
        )


def test_every_selector_picks_the_pods():
    assert picks(DEPLOYMENT["selector"])
    assert MANIFESTS["service"]["spec"]["selector"].items() <= LABELS.items()
    assert picks(MANIFESTS["disruption-budget"]["spec"]["selector"])
    assert picks(MANIFESTS["network-policy"]["spec"]["podSelector"])
    assert all(picks(one["labelSelector"]) for one in POD["spec"]["topologySpreadConstraints"])
    target = MANIFESTS["autoscaler"]["spec"]["scaleTargetRef"]
    assert (target["kind"], target["name"], target["apiVersion"]) == (
        "Deployment",
        NAME,
        MANIFESTS["deployment"]["apiVersion"],
    )


def test_ports_match():
    ports = {port["name"]: str(port["containerPort"]) for port in CONTAINER["ports"]}
    assert ports == {"http": environment()["PORT"], "watch": environment()["WATCH_PORT"]}
    (served,) = MANIFESTS["service"]["spec"]["ports"]
    gateway, monitoring = MANIFESTS["network-policy"]["spec"]["ingress"]
    assert {served["targetPort"], *(one["port"] for one in gateway["ports"])} == {"http"}
    assert {one["port"] for one in monitoring["ports"]} == {"watch"}
    assert POD["metadata"]["annotations"]["prometheus.io/port"] == ports["watch"]
    assert [one.rest.split() for one in instructions() if one.word == "EXPOSE"] == [[*ports.values()]]


def test_a_stop_has_time_for_the_sleep_and_for_what_was_begun(gunicorn_settings):
    asleep = CONTAINER["lifecycle"]["preStop"]["sleep"]["seconds"]
    assert asleep > 0
    assert POD["spec"]["terminationGracePeriodSeconds"] >= asleep + gunicorn_settings["graceful_timeout"] + 5


def test_a_roll_takes_no_instance_away_before_its_follower_is_ready():
    assert DEPLOYMENT["strategy"]["rollingUpdate"] == {"maxUnavailable": 0, "maxSurge": 1}
    scale = MANIFESTS["autoscaler"]["spec"]
    # A number of its own would set the autoscaler's back with every apply.
    assert "replicas" not in DEPLOYMENT
    assert scale["maxReplicas"] > scale["minReplicas"] >= 2
    assert MANIFESTS["disruption-budget"]["spec"]["maxUnavailable"] < scale["minReplicas"]


def test_the_pod_can_do_nothing_it_need_not():
    assert POD["spec"]["automountServiceAccountToken"] is False
    pod, container = POD["spec"]["securityContext"], CONTAINER["securityContext"]
    (user,) = [one.rest for one in instructions() if one.word == "USER"]
    assert (
        pod["runAsNonRoot"]
        and f"{pod['runAsUser']}:{pod['runAsGroup']}" == user
        and pod["seccompProfile"] == {"type": "RuntimeDefault"}
    )
    assert container == {
        "allowPrivilegeEscalation": False,
        "readOnlyRootFilesystem": True,
        "capabilities": {"drop": ["ALL"]},
    }
    assert set(CONTAINER["resources"]) == {"requests", "limits"} and set(
        CONTAINER["resources"]["limits"]
    ) == {"cpu", "memory"}


def test_only_memory_is_written_to():
    volumes = {one["name"]: one for one in POD["spec"]["volumes"]}
    mounts = {one["mountPath"]: one for one in CONTAINER["volumeMounts"]}
    writable = {path for path, one in mounts.items() if not one.get("readOnly")}
    assert writable == {"/tmp", "/dev/shm"}
    assert all(volumes[mounts[path]["name"]]["emptyDir"]["medium"] == "Memory" for path in writable)
    assert {one["name"] for one in mounts.values()} == set(volumes)


def test_probes_need_no_secret():
    asked = {name: CONTAINER[name]["httpGet"] for name in ("startupProbe", "readinessProbe", "livenessProbe")}
    assert asked == {
        "startupProbe": {"path": "/readyz", "port": "watch"},
        "readinessProbe": {"path": "/readyz", "port": "watch"},
        "livenessProbe": {"path": "/healthz", "port": "watch"},
    }


def test_a_busy_instance_is_not_killed():
    """Behind a queue of the longest calls /healthz was seen to wait 10.5 s."""
    probe = CONTAINER["livenessProbe"]
    assert (
        probe["timeoutSeconds"] > 10.5
        and probe["periodSeconds"] >= probe["timeoutSeconds"]
        and probe["failureThreshold"] >= 3
    )


def test_what_was_measured_fits_in():
    """The figures of docker/README.md: memory in MiB with every worker at the longest calls, seconds until
    ready and to stop.
    """
    table = dict(
        re.findall(r"^\| ([^|]+) \| ([^|]+) \|$", (ROOT / "docker" / "README.md").read_text(), re.MULTILINE)
    )
    longest_calls, ready, stop = (
        max(map(float, re.findall(r"\d+(?:\.\d+)?", table[row])))
        for row in (
            "the same with a sweep of 10,000 candidates in each worker",
            "seconds until ready",
            "seconds to stop",
        )
    )
    volumes = sum(
        mebibytes(one["emptyDir"]["sizeLimit"]) for one in POD["spec"]["volumes"] if "emptyDir" in one
    )
    requests, limits = CONTAINER["resources"]["requests"], CONTAINER["resources"]["limits"]
    assert longest_calls + volumes < mebibytes(requests["memory"]) < mebibytes(limits["memory"])
    # A worker a processor.
    assert [one["value"] for one in CONTAINER["env"] if one["name"] == "WORKERS"] == [limits["cpu"]]
    startup = CONTAINER["startupProbe"]
    assert startup["periodSeconds"] * startup["failureThreshold"] > 10 * ready
    assert (
        POD["spec"]["terminationGracePeriodSeconds"] - CONTAINER["lifecycle"]["preStop"]["sleep"]["seconds"]
        > 10 * stop
    )


def test_secrets_are_those_of_compose():
    """One place in the container and one set of names, wherever it runs."""
    compose = read(ROOT / "docker" / "compose.yaml")
    service = compose["services"]["service-1"]
    (secrets,) = [one["secret"] for one in POD["spec"]["volumes"] if "secret" in one]
    mounted = {f"/run/secrets/{one['path']}" for one in secrets["items"]}
    settings = {one["name"]: one["value"] for one in CONTAINER["env"]}
    assert {settings["TOKENS"]} == {service["environment"]["TOKENS"]} == mounted
    assert {one["key"] for one in secrets["items"]} <= set(service["secrets"])
    assert f"create secret generic {secrets['secretName']} " in (ROOT / "docker" / "README.md").read_text()


def test_the_network_lets_in_two_kinds_of_pods_and_out_to_two():
    policy = MANIFESTS["network-policy"]["spec"]
    assert policy["policyTypes"] == ["Ingress", "Egress"]
    allowed = [one for entry in policy["ingress"] for one in entry["from"]]
    # An empty selector would let everybody in, and so would one without the other.
    assert len(allowed) == 2
    assert all(
        one["podSelector"]["matchLabels"] and one["namespaceSelector"]["matchLabels"] for one in allowed
    )
    ports = [{(port["protocol"], port["port"]) for port in one["ports"]} for one in policy["egress"]]
    assert ports == [{("UDP", 53), ("TCP", 53)}, {("TCP", 5432)}] and all(
        one["to"] for one in policy["egress"]
    )


def test_the_version_is_the_one_of_the_project():
    assert CONTAINER["image"] == f"{NAME}:{VERSION}" and LABELS["app.kubernetes.io/version"] == VERSION
    (image,) = read(FOLDER.parent / "development" / "kustomization.yaml")["images"]
    assert image["newTag"] == VERSION
