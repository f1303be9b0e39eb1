const form = document.getElementById("filter"),
  box = document.getElementById("words"),
  said = document.getElementById("said");
const plain = text => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
const cards = [...document.querySelectorAll(".cards li")].map(e => [e, plain(e.textContent)]);
form.hidden = false;
form.addEventListener("submit", e => e.preventDefault());
box.addEventListener("input", () => {
  const words = plain(box.value).split(/\s+/);
  let n = 0;
  for (const [e, text] of cards) {
    e.hidden = !words.every(w => text.includes(w));
    n += !e.hidden
  }
  said.textContent = n + " of " + cards.length + " cards shown"
});
