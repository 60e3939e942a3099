"""Who may open what: written by hand from what each task in the group needs, never from the code.

Besides the coordinator, who may do everything: a packer works with stock, cutting and kits; an inspector
receives, checks, mends and bags; a driver has her own drop-offs; a volunteer sees kits waiting and her own
kits; a visitor sees the sign-in pages only; a ward contact opens a signed link without an account, so those
pages are open to visitors here and answer 404 without the link's cookie.
"""

from dataclasses import dataclass

MEMBERS = frozenset({"volunteer", "driver", "inspector", "packer", "coordinator"})
ANYBODY = MEMBERS | {"visitor"}
NOBODY: frozenset[str] = frozenset()
OFFICE = frozenset({"coordinator"})
STORE = frozenset({"packer", "coordinator"})
CHECKING = frozenset({"inspector", "coordinator"})
DRIVING = frozenset({"driver", "coordinator"})
SEWING = frozenset({"volunteer", "coordinator"})
STORE_AND_CHECKING = STORE | CHECKING


@dataclass(frozen=True, slots=True)
class Row:
    """Who may read a page and who may send its form."""

    get: frozenset[str] = NOBODY
    post: frozenset[str] = NOBODY


def reading(who: frozenset[str]) -> Row:
    """A page to read, without a form."""
    return Row(get=who)


def button(who: frozenset[str]) -> Row:
    """A button on another page."""
    return Row(post=who)


def form(who: frozenset[str]) -> Row:
    """A page with a form that is sent to the same address."""
    return Row(get=who, post=who)


HOME = {
    "home:home": reading(MEMBERS),
    "home:healthz": reading(ANYBODY),
    "home:batch_propose": button(OFFICE),
}

PEOPLE = {
    "people:sign_in": form(ANYBODY),
    "people:sign_in_code": form(ANYBODY),
    "people:sign_in_person": form(ANYBODY),
    # Made by the operator at the machine; any other link answers 404.
    "people:sign_in_link": form(ANYBODY),
    "people:sign_in_help": reading(ANYBODY),
    # For the long code of a printed letter, which opens the link's page.
    "people:sign_in_letter": form(ANYBODY),
    # Where the group has no such form it answers 404 to everybody.
    "people:language": button(ANYBODY),
    "people:join": form(ANYBODY),
    "people:join_thanks": reading(ANYBODY),
    "people:join_list": reading(OFFICE),
    "people:join_answer": form(OFFICE),
    "people:join_decline": button(OFFICE),
    "people:sign_out": button(MEMBERS),
    "people:my_page": form(MEMBERS),
    "people:my_sign_out": button(MEMBERS),
    "people:my_data": reading(MEMBERS),
    "people:my_leave": form(MEMBERS),
    "people:my_forget": form(MEMBERS),
    "people:left_list": reading(OFFICE),
    "people:left_seen": button(OFFICE),
    "people:person_list": reading(OFFICE),
    "people:person_add": form(OFFICE),
    "people:person_page": reading(OFFICE),
    "people:person_change": form(OFFICE),
    "people:person_leave": button(OFFICE),
    "people:person_return": button(OFFICE),
    "people:person_sign_out": button(OFFICE),
    "people:person_links_end": button(OFFICE),
    "people:person_data": reading(OFFICE),
    "people:person_forget": form(OFFICE),
    "people:letter_list": reading(OFFICE),
    "people:letter_again": button(OFFICE),
    "people:letter_told": button(OFFICE),
    "people:group_settings": form(OFFICE),
    "people:label_settings": form(OFFICE),
    "people:figure_list": reading(OFFICE),
    "people:figure_page": form(OFFICE),
    # In the demonstration only; elsewhere 404 for everybody.
    "people:cast": form(ANYBODY),
    "people:outbox": reading(ANYBODY),
}

STOCK = {
    "stock:lot_list": reading(STORE),
    "stock:lot_page": reading(STORE),
    "stock:lot_count": form(STORE),
    "stock:lot_measure": form(STORE),
    "stock:lot_washed": button(STORE),
    "stock:lot_open": button(STORE),
    "stock:lot_take": form(STORE),
    "stock:lot_put_back": form(STORE),
    "stock:lot_move": form(STORE),
    "stock:lot_flaws": form(STORE),
    "stock:lot_flaw_remove": button(STORE),
    "stock:material_list": reading(STORE),
    "stock:material_add": form(STORE),
    "stock:material_change": form(STORE),
    "stock:lot_receive": form(STORE),
    "stock:donor_list": reading(STORE),
    "stock:donor_add": form(STORE),
    "stock:donor_change": form(STORE),
}

# A ward's rules (closures, washing, packing, whom to ring) are read by whoever packs, bags or drives.
WARD_RULES = STORE_AND_CHECKING | DRIVING
WARDS = {
    "wards:ward_list": reading(WARD_RULES),
    "wards:ward_page": reading(WARD_RULES),
    "wards:ward_new": form(OFFICE),
    "wards:ward_change": form(OFFICE),
    "wards:ward_pause": form(OFFICE),
    "wards:shelf_change": form(OFFICE),
    "wards:hospital_new": form(OFFICE),
    "wards:hospital_change": form(OFFICE),
    "wards:request_list": reading(OFFICE),
    "wards:request_start": reading(OFFICE),
    "wards:request_new": form(OFFICE),
    "wards:request_repeat": button(OFFICE),
    "wards:request_page": reading(OFFICE),
    "wards:request_change": form(OFFICE),
    "wards:request_withdraw": button(OFFICE),
}

# The coordinator decides what a batch is to be; the packer reads it, cuts it and packs it.
BATCHES = {
    "batches:batch_list": reading(STORE),
    "batches:batch_page": reading(STORE),
    "batches:batch_start": form(OFFICE),
    "batches:batch_close": button(OFFICE),
    "batches:batch_discard": form(OFFICE),
    "batches:batch_lines": form(OFFICE),
    "batches:batch_choices": form(OFFICE),
    "batches:plan_make": button(OFFICE),
    "batches:plan_rest": button(OFFICE),
    "batches:plan_progress": reading(OFFICE),
    "batches:plan_stop": button(OFFICE),
    "batches:plan_resume": button(OFFICE),
    "batches:plan_cancel": button(OFFICE),
    "batches:plan_page": reading(STORE),
    "batches:shopping_list": reading(STORE),
    "batches:plan_why": reading(STORE),
    "batches:newest_why": reading(STORE),
    "batches:plan_commit": button(OFFICE),
    "batches:plan_drop": button(OFFICE),
    "batches:floss_use": reading(OFFICE),
    "batches:floss_use_set": button(OFFICE),
    "batches:kits_waiting": reading(SEWING),
    "batches:my_kits": reading(SEWING),
    "batches:kit_wish": form(SEWING),
    "batches:kit_wish_end": button(SEWING),
    # For whoever works on paper: the coordinator finds her a kit and rings her.
    "batches:kit_for": form(OFFICE),
    "batches:kit_for_end": button(OFFICE),
    "batches:people_to_tell": reading(OFFICE),
    "batches:person_told": button(OFFICE),
    "batches:memorial_stop": button(SEWING),
    # The secret in a letter opens it, whoever is signed in; any other answers 404.
    "batches:letters_stop": form(ANYBODY),
    "batches:kit_claim": button(SEWING),
    # Her own kit; staff speak for whoever rings (a stranger's answers 404 to those who sew).
    "batches:kit_finish": form(SEWING | STORE_AND_CHECKING),
    "batches:kit_hand_on": form(SEWING | STORE_AND_CHECKING),
    "batches:kit_help": form(SEWING | STORE_AND_CHECKING),
    "batches:kit_part": form(SEWING | STORE_AND_CHECKING),
    "batches:kit_post": button(SEWING | STORE_AND_CHECKING),
    # Who sews sees those calls here that she was named to help with; a packer those for parts and the post.
    "batches:call_list": reading(SEWING | STORE),
    "batches:call_page": form(SEWING | STORE),
    "batches:helpers": form(OFFICE),
    "batches:kit_give_back": form(SEWING | STORE),
    # A kit kept for her, which she would rather leave to somebody else.
    "batches:kit_let_go": button(SEWING),
    "batches:kit_page": reading(SEWING | STORE_AND_CHECKING),
    # Her own kit, one she may take, or one she was asked to help with; any for staff. Only who sews it says what is done.
    "batches:kit_chart": reading(SEWING | STORE_AND_CHECKING),
    "batches:kit_chart_row": reading(SEWING | STORE_AND_CHECKING),
    "batches:kit_row_done": button(SEWING),
    "batches:kit_list": reading(STORE_AND_CHECKING),
    "batches:kits_overdue": reading(OFFICE),
    "batches:kit_hand_out": form(STORE),
    "batches:kit_hand_out_undo": button(STORE),
    "batches:kit_arrange": form(STORE),
    "batches:kit_due": form(STORE),
    "batches:kit_end": form(STORE),
    "batches:lay_list": reading(STORE),
    "batches:lay_page": form(STORE),
    "batches:kits_to_pack": reading(STORE),
    "batches:kits_offer": button(STORE),
    "batches:kits_put_by": button(STORE),
    "batches:kit_line_tick": button(STORE),
    "batches:kit_packing": reading(STORE),
    "batches:kit_pack": button(STORE),
    "batches:kit_offer": button(STORE),
}

# Whoever is at the table books gowns back; only an inspector judges them.
GOWNS = {
    "gowns:gown_list": reading(STORE_AND_CHECKING),
    "gowns:gown_page": reading(STORE_AND_CHECKING),
    "gowns:kit_returns": reading(STORE_AND_CHECKING),
    "gowns:table_back": form(STORE_AND_CHECKING),
    "gowns:table_back_undo": button(STORE_AND_CHECKING),
    "gowns:table_stage_undo": button(STORE_AND_CHECKING),
    "gowns:table_list": reading(STORE_AND_CHECKING),
    # Whoever enters the list also hands kits out.
    "gowns:table_entry": form(STORE),
    "gowns:return_page": reading(STORE_AND_CHECKING),
    "gowns:kit_return": form(STORE_AND_CHECKING),
    "gowns:gown_add": form(CHECKING),
    "gowns:first_checks": reading(CHECKING),
    "gowns:second_checks": reading(CHECKING),
    "gowns:mending": reading(CHECKING),
    "gowns:wash": form(CHECKING),
    "gowns:gown_check": form(CHECKING),
    "gowns:gown_mended": button(CHECKING),
    "gowns:shelf": reading(STORE_AND_CHECKING),
    "gowns:gown_place": form(STORE_AND_CHECKING),
}

# Whoever bags gowns packs drop-offs; a driver sees her own (another's answers 404) and says how it went.
DELIVERIES = {
    "deliveries:drop_off_list": reading(STORE_AND_CHECKING | DRIVING),
    "deliveries:drop_off_page": reading(STORE_AND_CHECKING | DRIVING),
    "deliveries:drop_off_start": form(STORE_AND_CHECKING),
    "deliveries:urgent_serve": button(STORE_AND_CHECKING),
    "deliveries:gown_pack": button(STORE_AND_CHECKING),
    "deliveries:gown_unpack": button(STORE_AND_CHECKING),
    "deliveries:drop_off_fill": button(STORE_AND_CHECKING),
    "deliveries:drop_off_send": button(STORE_AND_CHECKING),
    "deliveries:drop_off_call_off": button(STORE_AND_CHECKING),
    "deliveries:drop_off_signed": form(STORE_AND_CHECKING | DRIVING),
    "deliveries:drop_off_back": form(STORE_AND_CHECKING | DRIVING),
}

PRINTING = {
    # Whoever has a kit at home prints its sheet; to her anybody else's kit answers 404.
    "printing:kit_sheet": reading(MEMBERS),
    "printing:kit_sheet_pdf": reading(MEMBERS),
    # An old version may be one nobody should sew from any more; whoever packs prints for the table.
    "printing:kit_sheet_kept_pdf": reading(OFFICE),
    "printing:print_run": form(STORE),
    "printing:print_cancel": button(STORE),
    "printing:print_resume": button(STORE),
    "printing:print_run_pdf": reading(STORE),
    "printing:labels": reading(STORE_AND_CHECKING),
    "printing:label_sheets": reading(STORE_AND_CHECKING),
    "printing:labels_pdf": reading(STORE_AND_CHECKING),
    "printing:label_css": reading(STORE_AND_CHECKING),
    "printing:label_test": reading(STORE_AND_CHECKING),
    "printing:label_test_pdf": reading(STORE_AND_CHECKING),
    # The packer cuts; a volunteer gets her pieces cut out.
    "printing:pattern": reading(STORE),
    "printing:pattern_pdf": reading(STORE),
    "printing:pattern_sheet_pdf": reading(STORE),
    "printing:pattern_svg": reading(STORE),
    # As with the lay itself.
    "printing:cutting": reading(STORE),
    "printing:cutting_pdf": reading(STORE),
    # As with the drop-off itself.
    "printing:receipt": reading(STORE_AND_CHECKING | DRIVING),
    "printing:receipt_pdf": reading(STORE_AND_CHECKING | DRIVING),
    "printing:receipt_print": button(STORE_AND_CHECKING | DRIVING),
    "printing:receipt_file": form(STORE_AND_CHECKING | DRIVING),
    # Shown once, as its button is pressed, and never by opening its address.
    "printing:sign_in_letter": button(OFFICE),
    "printing:sign_in_letter_pdf": button(OFFICE),
    "printing:stitch_card": reading(MEMBERS),
    "printing:stitch_card_pdf": reading(MEMBERS),
    "printing:drop_off_packing": reading(STORE_AND_CHECKING | DRIVING),
    "printing:drop_off_packing_pdf": reading(STORE_AND_CHECKING | DRIVING),
    "printing:drop_off_driver": reading(STORE_AND_CHECKING | DRIVING),
    "printing:drop_off_driver_pdf": reading(STORE_AND_CHECKING | DRIVING),
    # Whoever takes gifts in may thank for them; a letter of hours is one's own (another's answers 404).
    "printing:acknowledgment": reading(STORE),
    "printing:acknowledgment_pdf": reading(STORE),
    "printing:hours_letter": reading(MEMBERS),
    "printing:hours_letter_pdf": reading(MEMBERS),
    "printing:year_start": reading(OFFICE),
    "printing:year": reading(OFFICE),
    "printing:year_report": reading(OFFICE),
    "printing:year_report_pdf": reading(OFFICE),
    "printing:hours_letters": reading(OFFICE),
    "printing:hours_letters_pdf": reading(OFFICE),
    "printing:acknowledgments": reading(OFFICE),
    "printing:acknowledgments_pdf": reading(OFFICE),
}

EXCHANGE = {
    "exchange:my_calendar": form(SEWING),
    "exchange:my_calendar_end": button(SEWING),
    # A calendar reads it with the secret in its address; any other answers 404.
    "exchange:calendar_feed": reading(ANYBODY),
}

# Everybody may look at designs, charts and sizes; the coordinator changes them. A packer pleats.
CATALOG = {
    "catalog:catalog_start": button(OFFICE),
    "catalog:design_list": reading(MEMBERS),
    "catalog:design_page": reading(MEMBERS),
    "catalog:design_size_page": reading(MEMBERS),
    "catalog:design_new": form(OFFICE),
    "catalog:design_rename": form(OFFICE),
    "catalog:design_change": form(OFFICE),
    "catalog:design_needs": form(OFFICE),
    "catalog:design_sizes": form(OFFICE),
    "catalog:design_pieces": form(OFFICE),
    "catalog:design_measures": form(OFFICE),
    "catalog:design_outlines": form(OFFICE),
    "catalog:chart_list": reading(MEMBERS),
    "catalog:chart_page": reading(MEMBERS),
    "catalog:chart_new": form(OFFICE),
    "catalog:chart_change": form(OFFICE),
    "catalog:stitch_cards": reading(MEMBERS),
    "catalog:stitch_card": reading(MEMBERS),
    "catalog:size_list": reading(MEMBERS),
    "catalog:size_new": form(OFFICE),
    "catalog:size_change": form(OFFICE),
    "catalog:pleater_list": reading(STORE),
    "catalog:pleater_new": form(OFFICE),
    "catalog:pleater_change": form(OFFICE),
    "catalog:pleater_calibrate": form(STORE),
    "catalog:pleater_use": button(OFFICE),
}

TABLE: dict[str, Row] = {
    **HOME, **PEOPLE, **CATALOG, **STOCK, **WARDS, **BATCHES, **GOWNS, **DELIVERIES, **PRINTING, **EXCHANGE,
}  # fmt: skip
