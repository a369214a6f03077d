"""Addresses of inventory: each area keeps its own list beside its pages."""

from django.urls import URLPattern, path

from inventory.pages import bill_urls, order_urls, spend_urls, stock_urls, today
from inventory.pages.cutting import urls as cutting_urls

app_name = "inventory"
urlpatterns: list[URLPattern] = [
    path("", today.sheet, name="today"),
    *stock_urls.urlpatterns,
    *cutting_urls.urlpatterns,
    *order_urls.urlpatterns,
    *bill_urls.urlpatterns,
    *spend_urls.urlpatterns,
]
