"""How the tests of pages look at them: signed in, reading a form's boxes, counting queries."""

from __future__ import annotations

import re

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from projects.models import Person


def signed_in(name):
    client = Client()
    client.force_login(Person.objects.get(username=name))
    return client


def sheet(client, url):
    """Get a form page and return the values that its boxes carry."""
    page = client.get(url)
    assert page.status_code == 200
    typed = {}
    for tag in re.findall(r"<input[^>]*>", page.text):
        name, value = re.search(r'name="([^"]+)"', tag), re.search(r'value="([^"]*)"', tag)
        if name and name.group(1) != "csrfmiddlewaretoken":
            typed[name.group(1)] = value.group(1) if value else ""
    return typed


def queries(question):
    with CaptureQueriesContext(connection) as asked:
        question()
    return len(asked)


def constant(question, *, more):
    """Count the queries with what there is and with more of it."""
    first = queries(question)
    more()
    assert queries(question) == first
    return first
