"""Addresses of inventory: each area keeps its own list beside its pages."""

from django.urls import URLPattern

from inventory.pages import order_urls, spend_urls, stock_urls

app_name = "inventory"
urlpatterns: list[URLPattern] = [*stock_urls.urlpatterns, *order_urls.urlpatterns, *spend_urls.urlpatterns]
