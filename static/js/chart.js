// The chart row by row: what is new is told, and the drawing shows where the row starts. Without script links do the same.
const showStart = () => {
  const scroller = document.querySelector("[data-start-x]");
  if (scroller) scroller.scrollLeft = Number(scroller.dataset.startX) - scroller.clientWidth / 2;
};

showStart();

document.addEventListener("htmx:afterSettle", () => {
  const heading = document.querySelector("#chart-part h1");
  const said = document.querySelector("[data-row-said]");
  showStart();
  if (!heading) return;
  if (said) said.textContent = heading.textContent;
  if (document.activeElement === document.body) heading.focus();
});
