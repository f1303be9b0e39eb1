const $ = id => document.getElementById(id);
const plain = text => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
const read = e => plain(e.textContent) + " " + (e.dataset.words ?? "");
const cards = [...document.querySelectorAll(".cards li")].map(e => [e, read(e)]);
const form = $("filter"), large = $("large");
const shown = () => cards.map(([e]) => e).filter(e => !e.hidden);
const amount = id => $(id) && $(id).value !== "" ? Number($(id).value) : null;
for (const name of new Set(cards.map(([e]) => e.dataset.set))) {
  if (name) $("set").add(new Option(name, name));
}
const filter = () => {
  const words = plain($("words").value).split(/\s+/), low = amount("low"), high = amount("high");
  const set = $("set").value, review = $("review").value, priced = low !== null || high !== null;
  for (const [e, text] of cards) {
    const price = parseFloat(e.dataset.price);
    e.hidden = !words.every(w => text.includes(w)) || (set && e.dataset.set !== set)
      || (review && !e.dataset.review.split(" ").includes(review))
      || (priced && !(price >= (low ?? 0) && price <= (high ?? Infinity)));
  }
  $("said").textContent = shown().length + " of " + cards.length + " cards shown";
};
form.hidden = false;
form.addEventListener("submit", e => e.preventDefault());
form.addEventListener("input", filter);
let current = null;
const open = card => {
  current = card;
  const link = card.querySelector(".open");
  $("large-name").textContent = link.textContent;
  for (const [id, part] of [["large-sides", ".sides"], ["large-told", "dl"]]) {
    const found = card.querySelector(part);
    $(id).replaceChildren(...(found ? [found.cloneNode(true)] : []));
  }
  if (!large.open) large.showModal();
};
const beside = step => {
  const all = shown();
  return all[all.indexOf(current) + step];
};
const turn = step => {
  const card = beside(step);
  if (card) open(card);
};
document.querySelector(".cards").addEventListener("click", e => {
  const card = e.target.closest("a.open, img") && e.target.closest("li");
  if (card) {
    e.preventDefault();
    open(card);
  }
});
$("before").addEventListener("click", () => turn(-1));
$("after").addEventListener("click", () => turn(1));
$("close").addEventListener("click", () => large.close());
large.addEventListener("close", () => current.querySelector(".open").focus());
document.addEventListener("keydown", e => {
  const step = {ArrowLeft: -1, ArrowRight: 1}[e.key];
  if (!step || e.altKey || e.ctrlKey || e.metaKey || e.target.closest("input, select")) return;
  e.preventDefault();
  if (large.open) return turn(step);
  current = document.activeElement.closest(".cards li");
  const card = beside(step) ?? (current ? null : shown()[0]);
  if (card) card.querySelector(".open").focus();
});
