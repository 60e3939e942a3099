// At the table: the field keeps the focus, a beep tells how it went. Without script the page does the same by reloading.
const form = document.querySelector("[data-table-form]");
const beepSwitch = document.querySelector("[data-beep-switch]");
const TONES = { done: [[880, 0]], wrong: [[220, 0], [220, 0.25]] };
let sound;

const isOn = () => {
  try {
    return localStorage.getItem("beep") !== "off";
  } catch {
    return true;
  }
};

const beep = (tones) => {
  if (!tones || !isOn() || !window.AudioContext) return;
  sound ??= new AudioContext();
  for (const [frequency, later] of tones) {
    const tone = sound.createOscillator();
    const loudness = sound.createGain();
    const at = sound.currentTime + later;
    loudness.gain.setValueAtTime(0.2, at);
    loudness.gain.exponentialRampToValueAtTime(0.001, at + 0.18);
    tone.frequency.value = frequency;
    tone.connect(loudness).connect(sound.destination);
    tone.start(at);
    tone.stop(at + 0.2);
  }
};

if (beepSwitch) {
  beepSwitch.hidden = false;
  beepSwitch.setAttribute("aria-pressed", String(isOn()));
  beepSwitch.addEventListener("click", () => {
    const turnOn = !isOn();
    try {
      localStorage.setItem("beep", turnOn ? "on" : "off");
    } catch {
      return;
    }
    beepSwitch.setAttribute("aria-pressed", String(turnOn));
    if (turnOn) beep(TONES.done);
  });
}

if (form) {
  const code = form.elements.code;
  // Each scan is a form of its own, so that scanning on while the last answer is awaited loses nothing.
  form.addEventListener("htmx:configRequest", (event) => {
    if (event.detail.elt !== form) return;
    event.detail.parameters.set("request_key", crypto.randomUUID?.().replaceAll("-", "") ?? String(Math.random()).slice(2));
  });
  form.addEventListener("htmx:beforeRequest", () => {
    code.value = "";
    code.focus();
  });
  document.addEventListener("htmx:afterSettle", () => {
    beep(TONES[document.querySelector("#said [data-beep]")?.dataset.beep]);
  });
}
