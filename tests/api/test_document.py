"""The OpenAPI document is sound, complete, and says what the answers really are."""

from __future__ import annotations

import functools
import io

import jsonschema
import pytest
import yaml
from django.core.management import call_command

from tests.api import addresses
from tests.api.bodies import bodies
from tests.api.calls import undone

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@functools.cache
def document():
    """Write the document as the command does in a build: any warning fails it."""
    text = io.StringIO()
    call_command("spectacular", "--validate", "--fail-on-warn", stdout=text)
    return yaml.safe_load(text.getvalue())


def test_document_is_valid_and_without_warnings():
    assert document()["openapi"] == "3.0.3"


def test_every_address_and_method_is_in_it():
    stated = {(path, method) for path, item in document()["paths"].items() for method in item}
    served = {
        (_stated_path(address), method)
        for address in addresses.everything()
        if address.pattern not in addresses.PAPERS
        for method in ("get", "post", "put", "patch", "delete")
        if hasattr(address.view, method)
    }

    assert stated == served


def test_every_operation_says_what_it_does_and_how_it_is_refused():
    for path, item in document()["paths"].items():
        for method, operation in item.items():
            assert operation["description"], path
            assert "401" in operation["responses"], path
            if method != "get":
                keys = [p for p in operation["parameters"] if p["name"] == "Idempotency-Key"]
                assert keys[0]["required"] is True, path
                assert {"400", "403", "404", "409", "422"} <= set(operation["responses"]), path


def test_stranger_does_not_read_it(stranger):
    assert stranger.get("schema/").status_code == 401
    assert stranger.get("docs/").url == "/sign-in/?next=/api/v1/docs/"


@pytest.mark.parametrize("who", ["alice", "bob"])
def test_answer_is_as_stated(request, ours, who):
    caller = request.getfixturevalue(who)
    for address in addresses.reads():
        answer = caller.get(address.path(ours), **address.query(ours))

        assert _faults(address, "get", answer) == [], address


def test_answer_to_an_act_is_as_stated(alice, ours):
    for address in addresses.acts():
        method = "post" if hasattr(address.view, "post") else "put"
        with undone():
            answer = getattr(alice, method)(address.path(ours), bodies(ours)[address.pattern])

        assert _faults(address, method, answer) == [], address


def test_reader_gets_everything_from_here(alice):
    page = alice.get("docs/")
    script = alice.client.get("/api/v1/docs/?script=")

    assert "http" not in page.content.decode()
    assert "<style" not in page.content.decode()
    assert script["Content-Type"].startswith("application/javascript")
    policy = page["Content-Security-Policy"]
    assert "script-src" not in policy
    assert "default-src 'self'" in policy
    assert "unsafe-inline" not in alice.get("sites/")["Content-Security-Policy"]


def _stated_path(address):
    return "/api/v1/" + address.pattern.replace("<row:", "{").replace(">", "}")


def _faults(address, method, answer):
    stated = document()["paths"][_stated_path(address)][method]["responses"][str(answer.status_code)]
    schema = stated["content"]["application/json"]["schema"] | {"components": document()["components"]}
    checker = jsonschema.Draft202012Validator(_nullable(schema))
    return [
        f"{'.'.join(map(str, e.absolute_path))}: {e.message[:200]}"
        for e in checker.iter_errors(answer.json())
    ]


def _nullable(schema):
    """Say `nullable` of OpenAPI 3.0 in the words of JSON Schema, and allow no field that is not stated."""
    if isinstance(schema, list):
        return [_nullable(one) for one in schema]
    if not isinstance(schema, dict):
        return schema
    plain = {name: _nullable(value) for name, value in schema.items() if name != "nullable"}
    if "properties" in plain and plain.get("type") == "object":
        plain.setdefault("additionalProperties", False)
    return {"anyOf": [plain, {"type": "null"}]} if schema.get("nullable") is True else plain
