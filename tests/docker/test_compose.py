"""docker/compose.yaml: the keys of the Compose specification, nothing published but the gateway, nothing
allowed that need not be.
"""

import re
from ipaddress import ip_address, ip_network

import pytest

from service.version import VERSION
from tests.docker.dockerfile import ROOT, environment, instructions
from tests.docker.gateway import configuration
from tests.support.yaml_data import read_yaml

FOLDER = ROOT / "docker"
COMPOSE = read_yaml(FOLDER / "compose.yaml")
# What `extends` stands for: the words of the other, and one's own in their place.
SERVICES = {
    name: (COMPOSE["services"][own["extends"]["service"]] if "extends" in own else {}) | own
    for name, own in COMPOSE["services"].items()
}
INSTANCES = [name for name in SERVICES if name.startswith("service-")]
# Of the Compose specification, the part used here; a word outside it is a slip or wants to be added.
TOP = {"name", "services", "networks", "volumes", "secrets"}
KEYS = {
    "image",
    "build",
    "command",
    "entrypoint",
    "environment",
    "secrets",
    "networks",
    "read_only",
    "tmpfs",
    "shm_size",
    "cap_drop",
    "security_opt",
    "deploy",
    "stop_grace_period",
    "stop_signal",
    "healthcheck",
    "restart",
    "volumes",
    "ports",
    "depends_on",
    "profiles",
    "user",
    "extends",
    "extra_hosts",
}
CHECK_KEYS = {"test", "interval", "timeout", "retries", "start_period", "disable"}
CONDITIONS = {"service_started", "service_healthy", "service_completed_successfully"}


def seconds(text):
    return int(re.fullmatch(r"(\d+)s", text)[1])


def test_only_words_of_the_specification():
    assert set(COMPOSE) <= TOP
    for service in SERVICES.values():
        assert set(service) <= KEYS
        assert set(service["healthcheck"]) <= CHECK_KEYS
        assert set(service["deploy"]["resources"]["limits"]) <= {"cpus", "memory", "pids"}
        assert all(one["condition"] in CONDITIONS for one in service.get("depends_on", {}).values())


def test_what_is_used_is_declared_and_the_other_way_round():
    for kind in ("secrets", "networks"):
        assert {name for service in SERVICES.values() for name in service.get(kind, [])} == set(COMPOSE[kind])
    named = {one.partition(":")[0] for service in SERVICES.values() for one in service.get("volumes", [])}
    assert {one for one in named if not one.startswith(".")} == set(COMPOSE["volumes"])
    assert all((FOLDER / one).is_file() for one in named if one.startswith("."))
    assert {name for service in SERVICES.values() for name in service.get("depends_on", {})} <= set(SERVICES)


def test_every_secret_that_is_read_is_mounted():
    for service in SERVICES.values():
        paths = {
            value for value in service.get("environment", {}).values() if value.startswith("/run/secrets/")
        }
        assert paths == {f"/run/secrets/{name}" for name in service.get("secrets", [])}


@pytest.mark.parametrize("name", SERVICES)
def test_each_can_do_nothing_it_need_not(name):
    service = SERVICES[name]
    assert (
        service["read_only"]
        and service["cap_drop"] == ["ALL"]
        and service["security_opt"] == ["no-new-privileges:true"]
    )
    assert set(service["deploy"]["resources"]["limits"]) == {"cpus", "memory", "pids"}
    assert all("size=" in one for one in service["tmpfs"]) and any(
        one.startswith("/tmp:") for one in service["tmpfs"]
    )


def test_only_the_gateway_is_published_and_on_loopback():
    assert [name for name, service in SERVICES.items() if "ports" in service] == ["nginx"]
    assert SERVICES["nginx"]["ports"] == ["${PUBLISH:-127.0.0.1:8080}:8080"]
    assert [name for name, service in SERVICES.items() if "outside" in service["networks"]] == ["nginx"]
    assert COMPOSE["networks"]["inside"]["internal"] is True


def test_the_gateway_finds_the_instances_and_runs_by_the_command_its_file_names():
    (upstream,) = configuration().every("upstream")
    assert [one.words[1] for one in upstream.every("server")] == [
        f"{name}:{environment()['PORT']}" for name in INSTANCES
    ]
    (server,) = configuration().every("server")
    assert server.value("listen") == "8080"
    assert [
        f"./nginx.conf:{word}:ro" for word in SERVICES["nginx"]["entrypoint"] if word.endswith(".conf")
    ] == SERVICES["nginx"]["volumes"]


def test_the_instances_differ_in_their_address_alone_and_it_is_the_one_the_gateway_has():
    _first, *others = (COMPOSE["services"][name] for name in INSTANCES)
    assert len(others) == 1 and all(
        one.keys() == {"extends", "networks"} and one["extends"] == {"service": INSTANCES[0]}
        for one in others
    )
    addresses = {name: SERVICES[name]["networks"]["inside"]["ipv4_address"] for name in INSTANCES}
    assert SERVICES["nginx"]["extra_hosts"] == [f"{name}:{address}" for name, address in addresses.items()]
    assert SERVICES["nginx"]["depends_on"] == {key: {"condition": "service_healthy"} for key in INSTANCES}
    (config,) = COMPOSE["networks"]["inside"]["ipam"]["config"]
    subnet, given_out = ip_network(config["subnet"]), ip_network(config["ip_range"])
    own = {ip_address(address) for address in addresses.values()}
    assert len(own) == 2 and all(
        one in subnet and one not in given_out and one != subnet.broadcast_address for one in own
    )
    # The router's own, and one for each of the others.
    assert given_out.subnet_of(subnet) and len(list(given_out.hosts())) > sum(
        "inside" in one["networks"] for one in SERVICES.values()
    ) - len(own)


def test_a_roll_takes_one_instance_after_the_other_and_gives_nginx_time_to_notice():
    """The commands of docker/README.md: each waits until its instance is healthy, and the second is only
    begun when nginx asks the first again.
    """
    lines = [line.strip() for line in (FOLDER / "README.md").read_text().splitlines()]
    rolls = [line for line in lines if "--no-deps" in line]
    assert [next(name for name in INSTANCES if name in line) for line in rolls] == INSTANCES
    assert all(
        re.search(r"compose .* up --detach --wait --no-deps --force-recreate service-\d", line)
        for line in rolls
    )
    (upstream,) = configuration().every("upstream")
    slept = int(re.search(r"&& sleep (\d+) &&", rolls[0])[1])
    for one in upstream.every("server"):
        (failing,) = [
            seconds(word.partition("=")[2]) for word in one.words if word.startswith("fail_timeout=")
        ]
        # nginx counts whole seconds.
        assert slept > failing + 1


def test_a_stop_has_time_for_what_was_begun(gunicorn_settings):
    assert seconds(SERVICES["service-1"]["stop_grace_period"]) > gunicorn_settings["graceful_timeout"]
    limit = re.search(r"worker_shutdown_timeout (\d+)s;", (FOLDER / "nginx.conf").read_text())[1]
    assert (
        seconds(SERVICES["nginx"]["stop_grace_period"]) > int(limit)
        and SERVICES["nginx"]["stop_signal"] == "SIGQUIT"
    )


def test_the_service_is_the_image_with_tokens():
    service = SERVICES["service-1"]
    assert (
        ROOT / "docker" / service["build"]["context"] / service["build"]["dockerfile"]
    ).resolve() == ROOT / "docker" / "Dockerfile"
    (check,) = [one for one in instructions() if one.word == "HEALTHCHECK"]
    assert str(service["healthcheck"]["test"][1:]).replace("'", '"') in check.rest
    assert (
        service["restart"] == "unless-stopped"
        and "ALLOW_ANONYMOUS" not in service["environment"]
        and service["environment"]["TOKENS"]
    )
    assert re.fullmatch(r"\d+[mg]", service["shm_size"])


def test_the_database_is_there_only_when_asked_for():
    # A catalog is copied when asked for, never at every start: it takes the place of what is there.
    assert {name: service["profiles"] for name, service in SERVICES.items() if "profiles" in service} == {
        "database": ["database"],
        "catalog": ["copy"],
    }
    job = SERVICES["catalog"]
    assert (
        job["command"][:4] == ["python", "-m", "service", "catalog"]
        and job["restart"] == "no"
        and job["depends_on"] == {"database": {"condition": "service_healthy"}}
    )
    # The password is in a file, and in no address that a list of processes would show.
    assert re.fullmatch(r"postgresql://\w+@database/\w+", job["command"][-1])


def test_the_version_is_the_one_of_the_project():
    assert SERVICES["service-1"]["image"] == SERVICES["catalog"]["image"] == f"engine-build-rules:{VERSION}"
