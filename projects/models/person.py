from typing import ClassVar

from django.contrib.auth.models import AbstractUser, UserManager
from django.db import models
from django.utils.translation import gettext_lazy as _

from projects.models.firm import Firm, Site


class Role(models.TextChoices):
    """The three roles of a firm; one person may hold several."""

    OFFICE = "office", _("office")
    SITE = "site", _("site manager")
    OWNER = "owner", _("owner")


class Person(AbstractUser):
    """Someone who signs in; what they may do stands in their memberships."""

    FIRM_ROAD = "memberships__firm"

    first_name = None  # type: ignore[assignment]  # a person has one name, written as they write it
    last_name = None  # type: ignore[assignment]  # the same
    name = models.CharField(max_length=120)

    REQUIRED_FIELDS: ClassVar[list[str]] = ["name"]
    objects: ClassVar = UserManager()

    def __str__(self) -> str:
        return self.name

    def get_full_name(self) -> str:
        return self.name

    def get_short_name(self) -> str:
        return self.name


class Membership(models.Model):
    """A person's role in a firm; a site manager's membership names the sites."""

    FIRM_ROAD = "firm"

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="memberships")
    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="memberships")
    role = models.CharField(max_length=12, choices=Role.choices)
    sites = models.ManyToManyField(Site, blank=True, related_name="memberships")
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("person", "firm", "role"), name="projects_membership_role_once"),
            models.CheckConstraint(
                condition=models.Q(role__in=Role.values), name="projects_membership_role_known"
            ),
        )

    def __str__(self) -> str:
        return f"{self.person}, {self.role}, {self.firm}"
