// What every page begins with: its data, its words, what it saves and what it remembers.
const $ = id => document.getElementById(id);
const data = JSON.parse($("data").textContent);

// Words: every sentence stands in one table. {name} is filled in; forms for numbers are divided by |
// in the order zero, one, two, few, many, other, as far as the language has them (Unicode CLDR).
const words = data.words, language = words.language;
const formsOf = type => { const rules = new Intl.PluralRules(language, {type}), kinds = rules.resolvedOptions().pluralCategories, order = ["zero", "one", "two", "few", "many", "other"].filter(kind => kinds.includes(kind)); return (forms, n) => forms[order.indexOf(rules.select(n))] ?? forms.at(-1); };
const cardinal = formsOf("cardinal"), ordinalForm = formsOf("ordinal");
const say = (key, values = {}) => {
  const forms = words[key].split("|"), text = key === "ordinal" ? ordinalForm(forms, values.n) : cardinal(forms, values.n);
  return text.replaceAll(/\{(\w+)\}/g, (whole, name) => values[name] ?? whole);
};
const ordinal = n => say("ordinal", {n});
const joinWords = list => new Intl.ListFormat(language).format(list);
const element = (tag, className, text) => { const e = document.createElement(tag); if (className) e.className = className; if (text !== undefined) e.textContent = text; return e; };
const save = (name, text, type) => {
  const link = element("a");
  link.href = URL.createObjectURL(new Blob([text], {type}));
  link.download = name;
  document.body.append(link); link.click(); link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
};

// What a browser keeps, or memory where it keeps nothing.
const makeStore = (name, tellLost) => {
  const memory = new Map();
  let place = null;
  try { place = window[name]; place.setItem("sixtyfold-probe", "1"); place.removeItem("sixtyfold-probe"); } catch (refused) { place = null; }
  return {
    lasting: !!place,
    get: key => memory.get(key) ?? (place ? place.getItem(key) : null),
    set: (key, value) => { try { if (!place) throw 0; place.setItem(key, value); memory.delete(key); } catch (full) { memory.set(key, value); if (place) tellLost(); } },
    drop: key => { memory.delete(key); if (place) place.removeItem(key); },
    keys: start => [...new Set([...memory.keys(), ...place ? Object.keys(place) : []])].filter(key => key.startsWith(start)).sort(),
  };
};

// Dark and light: as the system says until somebody chooses.
const followTheme = (store, redraw) => {
  const key = "sixtyfold-theme", system = matchMedia("(prefers-color-scheme: dark)");
  const set = dark => { document.documentElement.dataset.theme = dark ? "dark" : "light"; $("theme").setAttribute("aria-pressed", dark); redraw(); };
  set(store.get(key) ? store.get(key) === "dark" : system.matches);
  system.addEventListener("change", () => { if (!store.get(key)) set(system.matches); });
  $("theme").addEventListener("click", () => { const dark = document.documentElement.dataset.theme !== "dark"; store.set(key, dark ? "dark" : "light"); set(dark); });
};
