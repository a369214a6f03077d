"""The cast stands, and its members see what they should."""

import pytest

from projects.access import scope
from projects.errors import NotFound
from projects.models import Site
from tests.factories.cast import cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def test_site_manager_sees_only_the_sites_of_the_membership():
    team = cast()

    assert list(scope.visible(Site.objects.all(), team.bob)) == [team.site]
    assert set(scope.visible(Site.objects.all(), team.alice)) == {team.site, team.other_site}


def test_stranger_is_told_not_found():
    team = cast()

    with pytest.raises(NotFound):
        scope.get(Site.objects.all(), team.charlie, pk=team.site.pk)
