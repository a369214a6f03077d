from django.urls import path

from projects.pages import audit, holidays, limits, signing, sites, slabs, worker

app_name = "projects"
urlpatterns = [
    path("worker.js", worker.script, name="worker"),
    path("sign-in/", signing.sign_in, name="sign_in"),
    path("sign-out/", signing.sign_out, name="sign_out"),
    path("sites/", sites.listing, name="sites"),
    path("sites/new/", sites.new, name="site_new"),
    path("limits/", limits.change, name="limits"),
    path("holidays/", holidays.listing, name="holidays"),
    path("holidays/<int:holiday_id>/take-out/", holidays.work, name="holiday_work"),
    path("acts/", audit.listing, name="audit"),
    path("people/new/", sites.admit, name="person_new"),
    path("people/<str:username>/mail/", sites.mail, name="mail"),
    path("people/<str:username>/password/", sites.password, name="password"),
    path("slabs/new/", slabs.new, name="slab_new"),
    path("slabs/<int:slab_id>/pours/new/", slabs.plan, name="pour_new"),
    path("slabs/<int:slab_id>/finish/", slabs.finish, name="slab_finish"),
    path("pours/<int:pour_id>/move/", slabs.move, name="pour_move"),
    path("pours/<int:pour_id>/poured/", slabs.poured, name="pour_poured"),
]
