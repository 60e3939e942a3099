// Small helps only: every page works without them.
document.documentElement.classList.add("has-script");

document.addEventListener("click", (event) => {
  if (event.target.closest("[data-print]")) window.print();
});

// What htmx swaps in does not take the focus by itself.
document.addEventListener("htmx:afterSettle", (event) => {
  event.detail.elt.querySelector?.(".error-summary")?.focus();
});
