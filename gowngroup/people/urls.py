"""Addresses of the people pages."""

from django.urls import URLPattern, path

from gowngroup.people.views import demonstration, group, joining, labels, language, members, privacy, sign_in

app_name = "people"
urlpatterns: list[URLPattern] = [
    path("sign-in/", sign_in.sign_in, name="sign_in"),
    path("sign-in/code/", sign_in.sign_in_code, name="sign_in_code"),
    path("sign-in/who/", sign_in.sign_in_person, name="sign_in_person"),
    path("sign-in/help/", sign_in.sign_in_help, name="sign_in_help"),
    path("sign-in/link/<str:token>/", sign_in.sign_in_link, name="sign_in_link"),
    path("sign-in/letter/", sign_in.sign_in_letter, name="sign_in_letter"),
    path("join/", joining.join, name="join"),
    path("join/thanks/", joining.join_thanks, name="join_thanks"),
    path("language/", language.language, name="language"),
    path("sign-out/", sign_in.sign_out, name="sign_out"),
    path("my-page/", members.my_page, name="my_page"),
    path("my-page/sign-out-elsewhere/", members.my_sign_out, name="my_sign_out"),
    path("my-page/data.zip", privacy.my_data, name="my_data"),
    path("my-page/leave/", privacy.my_leave, name="my_leave"),
    path("my-page/forget/", privacy.my_forget, name="my_forget"),
    path("people/asking/", joining.join_list, name="join_list"),
    path("people/asking/<int:pk>/", joining.join_answer, name="join_answer"),
    path("people/asking/<int:pk>/no/", joining.join_decline, name="join_decline"),
    path("people/", members.person_list, name="person_list"),
    path("people/add/", members.person_add, name="person_add"),
    path("people/<int:pk>/", members.person_page, name="person_page"),
    path("people/<int:pk>/change/", members.person_change, name="person_change"),
    path("people/<int:pk>/leave/", members.person_leave, name="person_leave"),
    path("people/<int:pk>/return/", members.person_return, name="person_return"),
    path("people/<int:pk>/sign-out/", members.person_sign_out, name="person_sign_out"),
    path("people/<int:pk>/links-end/", members.person_links_end, name="person_links_end"),
    path("people/<int:pk>/data.zip", privacy.person_data, name="person_data"),
    path("people/<int:pk>/forget/", privacy.person_forget, name="person_forget"),
    path("group/", group.group_settings, name="group_settings"),
    path("group/labels/", labels.label_settings, name="label_settings"),
    path("figures/", group.figure_list, name="figure_list"),
    path("figures/<slug:key>/", group.figure_page, name="figure_page"),
    path("demo/cast/", demonstration.cast, name="cast"),
    path("demo/letters/", demonstration.outbox, name="outbox"),
]
