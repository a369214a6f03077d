from django.urls import path

from inventory.pages import comparison, revision, spend

urlpatterns = [
    path("slabs/<int:slab_id>/comparison/", comparison.sheet, name="comparison"),
    path("bills/<int:bill_id>/touches/", revision.sheet, name="bill_touches"),
    path("spend/", spend.sheet, name="spend"),
    path("spend/slabs/<int:slab_id>/", spend.slab, name="spend_slab"),
]
