from django.urls import URLPattern, path

from inventory.pages.cutting import asking, bench, plans, steel

urlpatterns: list[URLPattern] = [
    path("stores/<int:site_id>/steel/", steel.store, name="steel"),
    path("stores/offcuts/<int:lot_id>/", steel.offcut, name="offcut"),
    path("stores/offcuts/<int:lot_id>/label/", steel.label, name="offcut_label"),
    path("stores/cutting/", plans.listing, name="cutting_plans"),
    path("stores/cutting/new/", asking.new, name="cutting_new"),
    path("stores/cutting/figures/", asking.figures_of_firm, name="cutting_figures"),
    path("stores/cutting/<int:plan_id>/", plans.sheet, name="cutting_plan"),
    path("stores/cutting/<int:plan_id>/state/", plans.state, name="cutting_state"),
    path("stores/cutting/<int:plan_id>/reserve/", plans.reserve, name="cutting_reserve"),
    path("stores/cutting/<int:plan_id>/end/", plans.end, name="cutting_end"),
    path("stores/cutting/<int:plan_id>/list/", plans.cutting_list, name="cutting_list"),
    path("stores/cutting/<int:plan_id>/list/pdf/", plans.cutting_list_pdf, name="cutting_list_pdf"),
    path("stores/cutting/<int:plan_id>/buying/", plans.buying, name="cutting_buying"),
    path("stores/cutting/<int:plan_id>/bench/", bench.sheet, name="cutting_bench"),
    path("stores/cutting/patterns/<int:pattern_id>/cut/", bench.cut, name="cutting_cut"),
    path("stores/cutting/cuts/<int:cut_id>/undo/", bench.undo, name="cutting_undo"),
    path("stores/pours/<int:pour_id>/pieces/", bench.issue, name="pieces_issue"),
]
