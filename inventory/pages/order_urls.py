from django.urls import path

from inventory.pages import enquiries, order_new, orders, plan, suppliers

urlpatterns = [
    path("suppliers/", suppliers.listing, name="suppliers"),
    path("suppliers/new/", suppliers.new, name="supplier_new"),
    path("suppliers/<int:supplier_id>/", suppliers.one, name="supplier"),
    path("suppliers/<int:supplier_id>/change/", suppliers.change, name="supplier_change"),
    path("suppliers/<int:supplier_id>/offers/new/", suppliers.offer, name="offer_new"),
    path("enquiries/", enquiries.listing, name="enquiries"),
    path("enquiries/new/", enquiries.new, name="enquiry_new"),
    path("enquiries/<int:enquiry_id>/", enquiries.one, name="enquiry"),
    path("enquiries/<int:enquiry_id>/send/", enquiries.send, name="enquiry_send"),
    path("enquiries/<int:enquiry_id>/end/", enquiries.end, name="enquiry_end"),
    path("enquiries/<int:enquiry_id>/quotations/new/", enquiries.quotation, name="quotation_new"),
    path("enquiries/asked/<int:asked_id>/pdf/", enquiries.letter, name="enquiry_pdf"),
    path("quotations/<int:quoted_id>/choose/", enquiries.choose, name="quotation_choose"),
    path("orders/", orders.listing, name="orders"),
    path("orders/new/", order_new.write, name="order_new"),
    path("orders/<int:order_id>/", orders.one, name="order"),
    path("orders/<int:order_id>/approve/", orders.approve, name="order_approve"),
    path("orders/<int:order_id>/send/", orders.send, name="order_send"),
    path("orders/<int:order_id>/cancel/", orders.cancel, name="order_cancel"),
    path("orders/<int:order_id>/close/", orders.close, name="order_close"),
    path("plan/", plan.sheet, name="plan"),
    path("plan/order/", plan.order, name="plan_order"),
    path("plan/state/", plan.state, name="plan_state"),
    path("plan/again/", plan.again, name="plan_again"),
    path("plan/<int:suggestion_id>/", plan.one, name="suggestion"),
    path("plan/<int:suggestion_id>/days/", plan.days, name="suggestion_days"),
    path("plan/<int:suggestion_id>/later/", plan.postpone, name="suggestion_postpone"),
    path("plan/<int:suggestion_id>/reject/", plan.reject, name="suggestion_reject"),
]
