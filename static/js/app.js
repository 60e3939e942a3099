// Small helps only: every page works without them.
document.documentElement.classList.add("has-script");

document.addEventListener("click", (event) => {
  if (event.target.closest("[data-print]")) window.print();
});

// What htmx swaps in does not take the focus by itself.
document.addEventListener("htmx:afterSettle", (event) => {
  event.detail.elt.querySelector?.(".error-summary")?.focus();
});

// The switch of units beside a length converts what stands in the field, exactly: micrometres as whole numbers, as
// the server reckons (records/units.py, which is the truth). What it cannot read it leaves alone.
const UM_PER_UNIT = { mm: 1000n, cm: 10000n, m: 1000000n, in: 25400n, yd: 914400n };
const FRACTIONS = { "¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8" };

const divided = (above, below) => {
  const twice = 2n * (above % below);
  const isUp = twice > below || (twice === below && (above / below) % 2n === 1n);
  return above / below + (isUp ? 1n : 0n);
};

const numberTyped = (typed, mark) => {
  if (/^[1-9][0-9]{0,2}[.,][0-9]{3}$/.test(typed.trim().replace(mark, " "))) return null;
  const text = typed.replaceAll(",", ".").replace(/[¼½¾⅛⅜⅝⅞]/g, (sign) => ` ${FRACTIONS[sign]}`).trim();
  const decimal = /^([0-9]{0,9})\.?([0-9]{0,9})$/.exec(text);
  if (decimal && decimal[1] + decimal[2]) return [BigInt(decimal[1] + decimal[2]), 10n ** BigInt(decimal[2].length)];
  const parts = /^(?:([0-9]{1,9}) +)?([0-9]{1,4})\/([0-9]{1,4})$/.exec(text);
  if (!parts || !Number(parts[3])) return null;
  return [BigInt(parts[1] ?? 0) * BigInt(parts[3]) + BigInt(parts[2]), BigInt(parts[3])];
};

const micrometres = (typed, unit, mark) => {
  const number = numberTyped(typed, mark);
  return number && divided(number[0] * UM_PER_UNIT[unit], number[1]);
};

const inUnit = (um, unit, mark) => {
  const size = UM_PER_UNIT[unit];
  if ((unit === "in" || unit === "yd") && (um * 8n) % size === 0n) {
    const [whole, rest] = [um / size, ((um * 8n) / size) % 8n];
    const part = ["", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"][rest];
    return whole && part ? `${whole} ${part}` : part || `${whole}`;
  }
  for (let places = 0n; ; places += 1n) {
    const scale = 10n ** places;
    const digits = divided(um * scale, size);
    if (places < 7n && divided(digits * size, scale) !== um) continue;
    const text = `${digits}`.padStart(Number(places) + 1, "0");
    return places ? `${text.slice(0, -Number(places))}${mark}${text.slice(-Number(places))}` : text;
  }
};

// The unit a choice stands at before it is changed: also where the browser, or a draft, has put another one back.
addEventListener("pageshow", () => {
  for (const choice of document.querySelectorAll("[data-unit-of]")) choice.dataset.unit = choice.value;
});

document.addEventListener("change", (event) => {
  const choice = event.target;
  const field = choice.dataset?.unitOf && document.getElementById(choice.dataset.unitOf);
  if (!field) return;
  const mark = choice.dataset.decimalMark;
  const atFirst = [...choice.options].find((option) => option.defaultSelected).value;
  const before = choice.dataset.unit ?? atFirst;
  choice.dataset.unit = choice.value;
  const behind = /^(.*?)\s*(mm|cm|m|in|yd|["″”])\.?$/is.exec(field.value.trim());
  const [typed, unit] = behind ? [behind[1], behind[2].toLowerCase().replace(/["″”]/, "in")] : [field.value, before];
  const last = choice.converted;
  if (last && field.value === last.shown && choice.value === last.unit) {
    // There and back: what was typed comes back as it was typed.
    field.value = last.typed;
    choice.converted = null;
    return;
  }
  const isAsShown = choice.dataset.exactUm && before === atFirst && field.value === field.defaultValue;
  const um = isAsShown ? BigInt(choice.dataset.exactUm) : micrometres(typed, unit, mark);
  if (um === null) return;
  const shown = inUnit(um, choice.value, mark);
  choice.converted = { typed: field.value, unit: before, shown };
  field.value = shown;
});
