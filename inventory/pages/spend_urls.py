from django.urls import path

from inventory.pages import comparison, spend

urlpatterns = [
    path("slabs/<int:slab_id>/comparison/", comparison.sheet, name="comparison"),
    path("spend/", spend.sheet, name="spend"),
    path("spend/slabs/<int:slab_id>/", spend.slab, name="spend_slab"),
]
