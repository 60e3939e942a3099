"""The coordinator's part of the walk: a ward asks, a batch is proposed, changed, planned and committed."""

from tests.walk.screen import Screen

LARGE, LARGEST, SMALLEST = "2000–2500 g", "2500–3500 g", "250–500 g"


def enter_request(screen: Screen) -> None:
    """Write down what the ward asks for."""
    screen.look("home")
    screen.open("/wards/requests/")
    screen.look("requests-none")
    screen.follow("Enter a request")
    screen.follow("For a month")
    screen.look("request-form")
    screen.fill(f"{LARGE}, to wear", "3")
    screen.fill(f"{LARGEST}, to wear", "2")
    screen.fill(f"{SMALLEST}, for babies who die", "2")
    screen.press("Enter the request")
    screen.look("request")
    assert screen.text("dl.figures").split() == ["asked", "7", "still", "open", "7"]


def propose(screen: Screen) -> None:
    """Start the batch and let it be proposed; every number has its reason."""
    screen.open("/batches/")
    screen.look("batches-none")
    screen.follow("Start a batch")
    screen.look("batch-start")
    screen.press("Start it")
    screen.look("batch-empty")
    screen.press("Propose it from the requests")
    screen.look("batch-proposed")
    screen.says("7 gowns")
    screen.says("The wards asked for 3.")


def edit(screen: Screen) -> None:
    """One more gown of a size, two gowns in its kit."""
    screen.follow("Change the numbers")
    screen.look("batch-numbers")
    screen.fill(f"{LARGE}, Gowns", "4")
    screen.fill(f"{LARGE}, Gowns in a kit", "2")
    screen.press("Keep these numbers")
    screen.says("8 gowns")
    screen.says("3 were proposed")
    screen.follow("Choose materials")
    screen.look("batch-materials")


def plan(screen: Screen) -> None:
    """Plan it in the background, look at the plan and commit it."""
    screen.page.go_back()
    screen.press("Plan it")
    screen.look("plan")
    screen.says("It makes 8 gowns")
    assert screen.part("svg[role=img]").count() >= 1
    screen.press("Commit this plan")
    screen.look("batch-committed")
    screen.says("The batch is under way")
