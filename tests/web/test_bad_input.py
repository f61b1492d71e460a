"""What is refused, how, and that every fault of a request is named at once."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

SENTINEL = "zebrafish"


@pytest.fixture(scope="session")
def send(client):
    """Post bytes as they are; every answer that is no 2xx is a problem and never HTML."""

    def post(body, content_type="application/json", **rest):
        response = client.post("/v1/evaluations", data=body, content_type=content_type, **rest)
        assert response.status_code < 500
        if response.status_code >= 400:
            assert response.mimetype == "application/problem+json"
            assert response.get_json()["status"] == response.status_code
        return response

    return post


@pytest.fixture(scope="session")
def faults(send, fits):
    """The faults of a request that is well-formed JSON."""

    def post(request):
        response = send(json.dumps(request))
        assert response.status_code == 422, response.text
        assert fits("Problem", response.get_json()) == []
        return response.get_json().get("errors", [])

    return post


# ---------------------------------------------------------------- bytes

NOT_JSON = {
    "empty": b"",
    "blank": b"  ",
    "text": b"boost = 12 psi",
    "cut": b'{"build": {"engine": {',
    "two documents": b'{"build": {}} {"build": {}}',
    "single quotes": b"{'build': {}}",
    "comment": b'{"build": {}} // end',
    "trailing comma": b'{"build": {},}',
    "NaN": b'{"build": {"engine": {"compression_ratio": NaN}}}',
    "Infinity": b'{"build": {"engine": {"compression_ratio": Infinity}}}',
    "-Infinity": b'{"build": {"engine": {"compression_ratio": -Infinity}}}',
    "1e999": b'{"build": {"engine": {"compression_ratio": 1e999}}}',
    "-1e999": b'{"build": {"engine": {"compression_ratio": -1e999}}}',
    "5,000 digits": b'{"build": {"engine": {"cylinders": ' + b"8" * 5000 + b"}}}",
    "not UTF-8": b'{"build": {"usage": "\xff"}}',
    "UTF-16": '{"build": {}}'.encode("utf-16"),
    "byte order mark": b'\xef\xbb\xbf{"build": {}}',
    "lone surrogate": b'{"build": {"usage": "\\ud800"}}',
    "100,000 brackets": b"[" * 60_000,
    "1,025 deep": b"[" * 1025 + b"]" * 1025,
}


@pytest.mark.parametrize("body", NOT_JSON.values(), ids=NOT_JSON)
def test_not_json(send, body):
    response = send(body)
    assert (response.status_code, response.get_json()["code"]) == (400, "not-json")


@pytest.mark.parametrize("body", [b"[]", b"[{}]", b'"build"', b"12", b"null", b"true"])
def test_json_but_no_object(send, body):
    assert (send(body).status_code, send(body).get_json()["code"]) == (422, "wrong-type")


DUPLICATES = {
    "top": b'{"build": {}, "build": {}}',
    "build": b'{"build": {"usage": "street", "usage": "drag"}}',
    "group": b'{"build": {"engine": {"cylinders": 4, "cylinders": 8}}}',
    "object in a list": b'{"build": {"fuel_system": {"pump_curve": [{"flow": "1 L/h", "flow": "2 L/h"}]}}}',
    "written otherwise": b'{"build": {"usage": "street", "us\\u0061ge": "drag"}}',
    "space before the colon": b'{"build": {"usage": "street", "usage"\n :"drag"}}',
    "hidden behind a string": b'{"build": {"usage": "a\\":b", "engine": {}, "engine": {}}}',
}


@pytest.mark.parametrize("body", DUPLICATES.values(), ids=DUPLICATES)
def test_duplicate_keys(send, body):
    assert (send(body).status_code, send(body).get_json()["code"]) == (400, "duplicate-key")


def test_a_string_that_looks_like_a_key_is_no_duplicate(send):
    response = send(b'{"build": {"engine": {"displacement": "\\"usage\\": \\"usage\\":"}}}')
    assert response.status_code == 422
    assert [fault["pointer"] for fault in response.get_json()["errors"]] == ["/build/engine/displacement"]


def test_the_same_key_in_two_groups_is_no_duplicate(send):
    assert (
        send(
            b'{"build": {"clutch": {"torque_rating": "400 lb-ft"}, "engine": {"torque_rating": "500 lb-ft"}}}'
        ).status_code
        == 200
    )


def nested(depth, opened, closed):
    return b'{"build": ' + opened * depth + b"1" + closed * depth + b"}"


@pytest.mark.parametrize("depth", [12, 1000])
@pytest.mark.parametrize(("opened", "closed"), [(b"[", b"]"), (b'{"engine": ', b"}")])
def test_too_deep(send, depth, opened, closed):
    response = send(nested(depth, opened, closed))
    assert (response.status_code, response.get_json()["code"]) == (422, "too-deep")


def test_as_deep_as_is_read(send):
    # The object itself and eleven more: refused for what it says, not for its depth.
    assert send(nested(11, b'{"engine": ', b"}")).get_json()["code"] == "spec-faults"


@pytest.mark.parametrize(("size", "status"), [(64 * 1024, 200), (64 * 1024 + 1, 413), (1_000_000, 413)])
def test_size(send, size, status):
    body = b'{"build": {}}'
    response = send(body + b" " * (size - len(body)))
    assert response.status_code == status
    if status == 413:
        assert response.get_json()["code"] == "body-too-large"


@pytest.mark.parametrize(
    "content_type",
    [
        "text/plain",
        "application/x-www-form-urlencoded",
        "multipart/form-data; boundary=x",
        "application/xml",
        "",
        "json",
        SENTINEL,
    ],
)
def test_content_type(send, content_type):
    response = send(b'{"build": {}}', content_type)
    assert (response.status_code, response.get_json()["code"]) == (415, "wrong-media-type")
    assert SENTINEL not in response.text


@pytest.mark.parametrize(
    "content_type", ["application/json", "application/json; charset=utf-8", "APPLICATION/JSON"]
)
def test_content_type_taken(send, content_type):
    assert send(b'{"build": {}}', content_type).status_code == 200


def test_chunked(send):
    response = send(b'{"build": {}}', headers={"Transfer-Encoding": "chunked"})
    assert (response.status_code, response.get_json()["code"]) == (411, "length-required")


# ---------------------------------------------------------------- places and methods


@pytest.mark.parametrize(
    "path",
    [
        "/v1",
        "/v2/evaluations",
        "/v1/evaluations/",
        "/v1//checks",
        "//v1/checks",
        f"/v1/checks/{SENTINEL}",
        f"/v1/functions/{SENTINEL}",
        f"/{SENTINEL}",
        "/v1/checks/%2e%2e%2f",
        "/v1/checks/%00",
        "/docs/<script>",
    ],
)
def test_not_found(client, fits, path):
    # The client of the tests takes what follows // for a host.
    response = client.get(path, headers={"Host": "localhost"})
    assert (response.status_code, response.mimetype) == (404, "application/problem+json")
    assert fits("Problem", response.get_json()) == [] and response.get_json()["code"] == "not-found"
    assert SENTINEL not in response.text and "<" not in response.text


def test_not_found_suggests_the_nearest(client):
    assert client.get("/v1/checks/injector-dutty").get_json()["suggestion"] == "injector-duty"


@pytest.mark.parametrize(
    ("method", "path", "allowed"),
    [
        ("GET", "/v1/evaluations", {"POST", "OPTIONS"}),
        ("PUT", "/v1/evaluations", {"POST", "OPTIONS"}),
        ("DELETE", "/v1/evaluations", {"POST", "OPTIONS"}),
        ("POST", "/v1/checks", {"GET", "HEAD", "OPTIONS"}),
        ("PATCH", "/healthz", {"GET", "HEAD", "OPTIONS"}),
        ("TRACE", "/v1/checks", {"GET", "HEAD", "OPTIONS"}),
    ],
)
def test_wrong_method(client, fits, method, path, allowed):
    response = client.open(path, method=method)
    assert (response.status_code, response.mimetype) == (405, "application/problem+json")
    assert set(response.headers["Allow"].split(", ")) == allowed
    assert fits("Problem", response.get_json()) == [] and response.get_json()["code"] == "method-not-allowed"


@pytest.mark.parametrize(
    ("path", "allowed"),
    [("/v1/evaluations", {"POST", "OPTIONS"}), ("/v1/checks", {"GET", "HEAD", "OPTIONS"})],
)
def test_options(client, path, allowed):
    response = client.options(path)
    assert (response.status_code, response.data) == (200, b"")
    assert set(response.headers["Allow"].split(", ")) == allowed
    assert "Content-Type" not in response.headers


# ---------------------------------------------------------------- faults of a request

# What is sent; the pointer, code and suggestion of its one fault.
ONE_FAULT = {
    "no build": ({}, "/build", "missing", None),
    "build is null": ({"build": None}, "/build", "wrong-type", None),
    "build is a list": ({"build": []}, "/build", "wrong-type", None),
    "build is text": ({"build": "12 psi"}, "/build", "wrong-type", None),
    "a group outside the build": ({"build": {}, "engine": {}}, "/engine", "unknown-key", "build.engine"),
    "unknown key of the request": ({"build": {}, "detial": "full"}, "/detial", "unknown-key", "detail"),
    "unknown detail": ({"build": {}, "detail": "sumary"}, "/detail", "unknown-word", "summary"),
    "detail of another kind": ({"build": {}, "detail": 1}, "/detail", "wrong-type", None),
    "detail is null": ({"build": {}, "detail": None}, "/detail", "wrong-type", None),
    "unknown units": ({"build": {}, "units": "metrics"}, "/units", "unknown-word", "metric"),
    "include of another kind": ({"build": {}, "include": "questions"}, "/include", "wrong-type", None),
    "unknown include": ({"build": {}, "include": ["question"]}, "/include/0", "unknown-word", "questions"),
    "include a thousand times": (
        {"build": {}, "include": ["questions"] * 1000},
        "/include",
        "wrong-type",
        None,
    ),
    "unknown check": (
        {"build": {}, "checks": ["injector-dutty"]},
        "/checks/0",
        "unknown-word",
        "injector-duty",
    ),
    "check of another kind": ({"build": {}, "checks": [1]}, "/checks", "wrong-type", None),
    "unknown required check": (
        {"build": {}, "require": ["clutch-torque", "clutch"]},
        "/require/1",
        "unknown-word",
        "clutch-torque",
    ),
    "pin of another kind": ({"build": {}, "rulebook": 7}, "/rulebook", "wrong-type", None),
    "unknown group": (
        {"build": {"motor_engine": {}, "engine": {}}},
        "/build/motor_engine",
        "unknown-key",
        None,
    ),
    "misspelt group": ({"build": {"indcution": {}}}, "/build/indcution", "unknown-key", "induction"),
    "misspelt field": (
        {"build": {"induction": {"bost": "12 psi"}}},
        "/build/induction/bost",
        "unknown-key",
        "boost",
    ),
    "letter case of a field": (
        {"build": {"induction": {"Boost": "12 psi"}}},
        "/build/induction/Boost",
        "unknown-key",
        "boost",
    ),
    "field of another group": (
        {"build": {"engine": {"injector_dead_time": "1 ms"}}},
        "/build/engine/injector_dead_time",
        "unknown-key",
        "fuel_system.injector_dead_time",
    ),
    "group is text": ({"build": {"engine": "V8"}}, "/build/engine", "wrong-type", None),
    "group is a list": ({"build": {"engine": []}}, "/build/engine", "wrong-type", None),
    "field is null": (
        {"build": {"induction": {"boost": None}}},
        "/build/induction/boost",
        "wrong-type",
        None,
    ),
    "field is true": (
        {"build": {"induction": {"boost": True}}},
        "/build/induction/boost",
        "wrong-type",
        None,
    ),
    "bare number": ({"build": {"induction": {"boost": 12}}}, "/build/induction/boost", "unit-missing", None),
    "bare number as text": (
        {"build": {"fuel_system": {"pump_flow": "255"}}},
        "/build/fuel_system/pump_flow",
        "unit-missing",
        "255 L/h",
    ),
    "object without unit": (
        {"build": {"induction": {"boost": {"value": 12}}}},
        "/build/induction/boost",
        "wrong-shape",
        None,
    ),
    "object with text as value": (
        {"build": {"induction": {"boost": {"value": "12", "unit": "psi"}}}},
        "/build/induction/boost",
        "wrong-type",
        None,
    ),
    "object with more": (
        {"build": {"induction": {"boost": {"value": 12, "unit": "psi", "note": ""}}}},
        "/build/induction/boost",
        "wrong-shape",
        None,
    ),
    "another dimension": (
        {"build": {"fuel_system": {"pump_flow": "60 lb"}}},
        "/build/fuel_system/pump_flow",
        "wrong-unit",
        "60 lb/h",
    ),
    "unknown unit": (
        {"build": {"induction": {"boost": "12 pis"}}},
        "/build/induction/boost",
        "unknown-unit",
        "12 psi",
    ),
    "absolute for gauge": (
        {"build": {"induction": {"boost": "2.0 bar abs"}}},
        "/build/induction/boost",
        "wrong-reading",
        "1.0 bar",
    ),
    "decimal comma": (
        {"build": {"engine": {"displacement": "2,0 L"}}},
        "/build/engine/displacement",
        "decimal-comma",
        "2.0 L",
    ),
    "open end": ({"build": {"target": {"power": "530+ hp"}}}, "/build/target/power", "open-ended", "530 hp"),
    "tolerance in another dimension": (
        {"build": {"induction": {"boost": "13 psi ±0.5 lb/h"}}},
        "/build/induction/boost",
        "tolerance",
        "13 psi",
    ),
    "object with a tolerance below zero": (
        {"build": {"induction": {"boost": {"value": 13, "unit": "psi", "tolerance": -0.5}}}},
        "/build/induction/boost",
        "tolerance",
        None,
    ),
    "tolerance of a range": (
        {"build": {"induction": {"boost": "7 to 14 psi ±1"}}},
        "/build/induction/boost",
        "two-numbers",
        None,
    ),
    "two numbers": (
        {"build": {"induction": {"boost": "15 psi (1 bar)"}}},
        "/build/induction/boost",
        "two-numbers",
        "15 psi",
    ),
    "range where one number is judged": (
        {"build": {"engine": {"bore": "86 to 87 mm"}}},
        "/build/engine/bore",
        "range",
        None,
    ),
    "no number": (
        {"build": {"clutch": {"torque_rating": "heavy duty twin"}}},
        "/build/clutch/torque_rating",
        "no-number",
        None,
    ),
    "impossible": (
        {"build": {"induction": {"boost": "21.7 bar"}}},
        "/build/induction/boost",
        "out-of-range",
        "21.7 psi",
    ),
    "minutes for hours": (
        {"build": {"fuel_system": {"pump_flow": "255 lpm"}}},
        "/build/fuel_system/pump_flow",
        "out-of-range",
        "255 L/h",
    ),
    "percent for a share": (
        {"build": {"fuel": {"ethanol": 60}}},
        "/build/fuel/ethanol",
        "out-of-range",
        "60 %",
    ),
    "part of a cylinder": (
        {"build": {"engine": {"cylinders": 7.5}}},
        "/build/engine/cylinders",
        "wrong-type",
        None,
    ),
    "cylinders as text": (
        {"build": {"engine": {"cylinders": "8"}}},
        "/build/engine/cylinders",
        "wrong-type",
        "8",
    ),
    "25 cylinders": (
        {"build": {"engine": {"cylinders": 25}}},
        "/build/engine/cylinders",
        "out-of-range",
        None,
    ),
    "unknown choice": (
        {"build": {"induction": {"kind": "trubo"}}},
        "/build/induction/kind",
        "unknown-word",
        "turbo",
    ),
    "choice of another kind": (
        {"build": {"induction": {"kind": 1}}},
        "/build/induction/kind",
        "wrong-type",
        None,
    ),
    "yes for a choice of three": ({"build": {"usage": True}}, "/build/usage", "wrong-type", None),
    "number for yes or no": (
        {"build": {"ignition": {"knock_control": 1}}},
        "/build/ignition/knock_control",
        "wrong-type",
        None,
    ),
    "65 characters": (
        {"build": {"induction": {"boost": "1" * 65}}},
        "/build/induction/boost",
        "too-long",
        None,
    ),
    "place said twice": (
        {"build": {"target": {"power": "600 rwhp", "power_at": "crank"}}},
        "/build/target/power",
        "contradiction",
        None,
    ),
    "curve of one point": (
        {"build": {"fuel_system": {"pump_curve": [{"pressure": "3 bar", "flow": "200 L/h"}]}}},
        "/build/fuel_system/pump_curve",
        "wrong-type",
        None,
    ),
    "curve that rises": (
        {
            "build": {
                "fuel_system": {
                    "pump_curve": [
                        {"pressure": "3 bar", "flow": "200 L/h"},
                        {"pressure": "4 bar", "flow": "250 L/h"},
                    ]
                }
            }
        },
        "/build/fuel_system/pump_curve",
        "not-a-curve",
        None,
    ),
    "curve with a point twice": (
        {
            "build": {
                "fuel_system": {
                    "pump_curve": [
                        {"pressure": "3 bar", "flow": "200 L/h"},
                        {"pressure": "300 kPa", "flow": "190 L/h"},
                    ]
                }
            }
        },
        "/build/fuel_system/pump_curve",
        "not-a-curve",
        None,
    ),
    "point without a word": (
        {
            "build": {
                "fuel_system": {
                    "pump_curve": [{"pressure": "3 bar", "flow": "200 L/h"}, {"pressure": "4 bar"}]
                }
            }
        },
        "/build/fuel_system/pump_curve/1",
        "wrong-type",
        None,
    ),
    "bare number in a point": (
        {
            "build": {
                "fuel_system": {
                    "pump_curve": [
                        {"pressure": "3 bar", "flow": "200 L/h"},
                        {"pressure": "4 bar", "flow": 150},
                    ]
                }
            }
        },
        "/build/fuel_system/pump_curve/1/flow",
        "unit-missing",
        None,
    ),
    "tolerance in a point": (
        {
            "build": {
                "fuel_system": {
                    "pump_curve": [
                        {"pressure": "3 bar", "flow": "200 L/h"},
                        {"pressure": "4 bar", "flow": "150 L/h ±5"},
                    ]
                }
            }
        },
        "/build/fuel_system/pump_curve/1/flow",
        "tolerance",
        None,
    ),
    "map without its surge line": (
        {"build": {"induction": {"compressor_map": {"points": []}}}},
        "/build/induction/compressor_map",
        "incomplete",
        None,
    ),
    "map that is a list": (
        {"build": {"induction": {"compressor_map": []}}},
        "/build/induction/compressor_map",
        "wrong-type",
        None,
    ),
}


@pytest.mark.parametrize(("request_", "pointer", "code", "suggestion"), ONE_FAULT.values(), ids=ONE_FAULT)
def test_one_fault(faults, request_, pointer, code, suggestion):
    found = faults(request_)
    assert [(fault["pointer"], fault["code"]) for fault in found] == [(pointer, code)]
    if suggestion is not None:
        assert found[0]["suggestion"] == suggestion
    assert found[0]["detail"].endswith(".")


@pytest.mark.parametrize(
    "case", ["bare number", "unknown check", "misspelt field", "unknown detail", "cylinders as text"]
)
def test_a_fault_says_what_was_expected(faults, case):
    assert faults(ONE_FAULT[case][0])[0]["expected"]


def test_all_faults_of_request_and_build_at_once(faults):
    merged = {"build": {}}
    pointers = set()
    for request, pointer, *_ in ONE_FAULT.values():
        build = request.get("build")
        if (
            set(request) == {"build"}
            and isinstance(build, dict)
            and all(
                isinstance(fields, dict) and not set(fields) & set(merged["build"].get(group, {}))
                for group, fields in build.items()
            )
        ):
            for group, fields in build.items():
                merged["build"].setdefault(group, {}).update(fields)
            pointers.add(pointer)
    merged |= {"detail": "x", "units": 1, "nonsense": 1, "checks": ["x"], "require": [1], "include": {}}
    pointers |= {"/detail", "/units", "/nonsense", "/checks/0", "/require", "/include"}
    assert len(pointers) > 20
    assert {fault["pointer"] for fault in faults(merged)} == pointers


def test_no_more_than_fifty_faults_are_named(send):
    for request in (
        {"build": {f"k{number}": 1 for number in range(5000)}},
        {"build": {"engine": {f"k{number}": 1 for number in range(5000)}}},
        {f"k{number}": 1 for number in range(5000)},
    ):
        response = send(json.dumps(request))
        assert response.status_code == 422 and len(response.get_json()["errors"]) == 50
        assert len(response.data) < 20_000


def test_parts_without_a_catalog(send):
    response = send(b'{"build": {"parts": {"injectors": "zebrafish"}}}')
    assert (response.status_code, [fault["code"] for fault in response.get_json()["errors"]]) == (
        422,
        ["no-catalog"],
    )
    assert SENTINEL not in response.text


# ---------------------------------------------------------------- hostile keys and words

HOSTILE = {
    "a/b": "a~1b",
    "a~b": "a~0b",
    "~1": "~01",
    "": "",
    "x" * 10_000: "x" * 40,
    "~" * 10_000: "~0" * 40,
    "line\nbreak\ttab\x00null": "line?break?tab?null",
    "\u202eright to left\u200b": "?right to left?",
    "größe": "größe",
    "🚗": "🚗",
    "<script>alert(1)</script>": "<script>alert(1)<~1script>",
    "{value}": "{value}",
    "__class__": "__class__",
    "_schema": "_schema",
    "a.b": "a.b",
}


@pytest.mark.parametrize(("key", "part"), HOSTILE.items(), ids=range(len(HOSTILE)))
def test_hostile_keys_are_escaped_and_capped(faults, key, part):
    found = faults({key: 1, "build": {key: 1, "engine": {key: 1}}})
    assert [fault["pointer"] for fault in found] == [f"/{part}", f"/build/{part}", f"/build/engine/{part}"]
    assert {fault["code"] for fault in found} == {"unknown-key"}


WORD = f"{SENTINEL} 12 {SENTINEL}"
WRONG_VALUES = [
    SENTINEL,
    WORD,
    f"12 {SENTINEL}",
    f"{SENTINEL}12 psi",
    f"12 psi {SENTINEL}",
    f"1,2 {SENTINEL}",
    f"7 to 14 {SENTINEL}",
    f"12+ {SENTINEL}",
    {"value": 12, "unit": SENTINEL},
    {"value": SENTINEL, "unit": "psi"},
    {SENTINEL: 12},
    [SENTINEL],
    [{SENTINEL: SENTINEL}] * 3,
    SENTINEL * 20,
]


def strings(node):
    for value in node.values() if isinstance(node, dict) else node:
        if isinstance(value, (dict, list)):
            yield from strings(value)
        elif isinstance(value, str):
            yield value


@pytest.mark.parametrize("value", WRONG_VALUES, ids=range(len(WRONG_VALUES)))
def test_no_wrong_value_is_repeated(client, faults, value):
    inputs = [one["input"] for one in client.get("/v1/inputs").get_json()["inputs"]]
    # No more than fifty faults are named, so a few inputs at a time.
    for start in range(0, len(inputs), 40):
        build = {}
        for path in inputs[start : start + 40]:
            group, _, name = path.rpartition(".")
            (build.setdefault(group, {}) if group else build)[name] = value
        request = {"build": build}
        found = faults(request)
        assert {fault["pointer"] for fault in found} >= {
            f"/build/{path.replace('.', '/')}"
            for path in inputs[start : start + 40]
            if not isinstance(value, list)
        }
        assert SENTINEL not in json.dumps(found)


@pytest.mark.parametrize(
    "request_",
    [
        {SENTINEL: 1, "build": {SENTINEL: 1, "engine": {SENTINEL: 1}}},
        *(
            {"build": {}, field: value}
            for field in ("detail", "units", "include", "checks", "require", "rulebook")
            for value in (SENTINEL, [SENTINEL], {SENTINEL: SENTINEL})
        ),
    ],
    ids=str,
)
def test_no_wrong_key_or_word_is_repeated_but_in_a_pointer(send, request_):
    response = send(json.dumps(request_))
    assert response.status_code in (412, 422)
    reply = response.get_json()
    for fault in reply.get("errors", ()):
        fault.pop("pointer")
    assert not [text for text in strings(reply) if SENTINEL in text]


JSON_VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=20)
    | st.sampled_from(
        ["12 psi", "8.5:1", "600 rwhp", "E60", "60 %", "7 to 14 psi", "street", "yes", "1e308 bar", "-1 psi"]
    ),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["value", "unit", "pressure", "flow"]) | st.text(max_size=8), inner, max_size=3
        )
    ),
    max_leaves=8,
)


@pytest.mark.slow
@given(data=st.data())
def test_any_object_as_build_is_judged_or_refused(client, send, data):
    paths = [one["input"] for one in client.get("/v1/inputs").get_json()["inputs"]]
    build = data.draw(st.dictionaries(st.text(max_size=8), JSON_VALUES, max_size=2))
    for path in data.draw(st.lists(st.sampled_from(paths), max_size=6)):
        group, _, name = path.rpartition(".")
        place = build.setdefault(group, {}) if group else build
        if isinstance(place, dict):
            place[name] = data.draw(JSON_VALUES)
    response = send(json.dumps({"build": build, "detail": "full"}))
    assert response.status_code in (200, 422)
    if response.status_code == 200:
        assert response.mimetype == "application/json"
