// What is typed into a form stays in this tab until it has arrived, so that an error, a lapsed sign-in or a wrong press
// loses nothing. It is shown to nobody else, goes when one signs out, and is forgotten after half a day.
{ // Names of its own: other scripts of a page have a form, too.
  const PREFIX = "draft:";
  const KEPT_MS = 12 * 3600 * 1000;
  const person = document.body.dataset.person ?? "";
  const here = location.pathname;
  const form = document.querySelector("form[data-draft]");
  const note = document.querySelector("[data-draft-note]");

  const store = (() => {
    try {
      return window.sessionStorage;
    } catch {
      return null;
    }
  })();

  const read = (path) => {
    try {
      return JSON.parse(store?.getItem(PREFIX + path) ?? "null");
    } catch {
      return null;
    }
  };
  const drop = (path) => store?.removeItem(PREFIX + path);
  const write = (path, draft) => {
    try {
      store?.setItem(PREFIX + path, JSON.stringify(draft));
    } catch {
      drop(path); // no room, or none allowed: the form works as it does without script
    }
  };
  const paths = () => Object.keys(store ?? {}).filter((key) => key.startsWith(PREFIX)).map((key) => key.slice(PREFIX.length));

  const isTicked = (field) => field.type === "checkbox" || field.type === "radio";
  const fieldsOf = (some) => [...some.elements].filter((field) => field.name && !["hidden", "password", "file", "submit", "button"].includes(field.type));
  const valueOf = (field) => (isTicked(field) ? field.checked : field.value);
  const save = (isSent) => {
    const typed = fieldsOf(form).map((field) => [field.name, valueOf(field)]);
    write(here, { person, typed, isSent, at: Date.now() });
  };

  // Puts back what was typed; says whether that is anything else than what the page shows by itself.
  const restore = (draft) => {
    let hasChanged = false;
    fieldsOf(form).forEach((field, at) => {
      const [name, value] = draft.typed[at] ?? [];
      if (name !== field.name || value === valueOf(field)) return;
      if (isTicked(field)) field.checked = value;
      else field.value = value;
      hasChanged = true;
    });
    return hasChanged;
  };

  const cameFrom = (path) => {
    try {
      return new URL(document.referrer).pathname === path;
    } catch {
      return false;
    }
  };
  const isNewVisit = () => performance.getEntriesByType("navigation")[0]?.type === "navigate";
  const isAskedAgain = () => document.querySelector(".error-summary, [aria-invalid=true]") !== null;

  for (const path of paths()) {
    const draft = read(path);
    if (!draft || Date.now() - draft.at > KEPT_MS || (person && draft.person !== person)) drop(path);
    else if (person !== draft.person) write(path, { ...draft, isSent: false }); // signed out before it arrived
    else if (draft.isSent && path !== here && cameFrom(path)) drop(path); // it arrived and led on to this page
  }

  if (form) {
    const draft = read(here);
    if (draft && draft.person === person) {
      if (draft.isSent && cameFrom(here) && isNewVisit() && !isAskedAgain()) drop(here);
      else if (restore(draft) && note) note.hidden = false;
    }
    form.addEventListener("input", () => save(false));
    form.addEventListener("change", () => save(false));
    form.addEventListener("submit", () => save(true));
  }

  document.addEventListener("click", (event) => {
    if (!event.target.closest("[data-draft-drop]")) return;
    drop(here);
    form.reset();
    note.hidden = true;
    fieldsOf(form)[0]?.focus();
  });

  // Whoever goes back after a signing out is not shown a page the browser has kept from before: it is asked for anew.
  const SIGNED_OUT = "signed-out-at";
  const openedAt = Date.now();

  document.addEventListener("submit", (event) => {
    if (!event.target.matches("[data-forget-drafts]")) return;
    paths().forEach(drop);
    store?.setItem(SIGNED_OUT, Date.now());
  });
  addEventListener("pageshow", (event) => {
    if (event.persisted && Number(store?.getItem(SIGNED_OUT)) > openedAt) location.reload();
  });
}
