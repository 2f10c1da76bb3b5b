/* Tells on a page what the checker says of the document that the page carries. */
window.deduceCheck = check;
window.deduceTold = told;
function told({ verified, steps, problem }) {
  const many = steps.length + (steps.length === 1 ? " step" : " steps");
  if (!verified) return "Not checked: " + problem + ".";
  const assumed = steps.some(step => step.assumesUnique) ? ", taking it that the puzzle has one solution" : "";
  const noted = steps.some(step => step.notes.length) ? ", as far as the notes are right" : "";
  return (steps.length === 1 ? "The one step" : "All " + many) + " checked in this browser" + assumed + noted + ".";
}
/* The checksum of zip files: it tells when a document is no longer the one that its page was written with. */
function sum(text) {
  let rest = -1;
  for (const byte of new TextEncoder().encode(text)) {
    rest ^= byte;
    for (let bit = 0; bit < 8; bit++) rest = rest >>> 1 ^ (rest & 1 ? 0xedb88320 : 0);
  }
  return String(~rest >>> 0);
}
document.querySelectorAll("[data-deduce-checked]").forEach(place => {
  const held = document.querySelector("script.deduce-document"), found = check(held ? held.textContent : "");
  const touched = held && "sum" in held.dataset && held.dataset.sum !== sum(held.textContent.trim());
  place.textContent = found.verified && touched ? "Not checked: the document in this page was changed." : told(found);
  place.classList.toggle("deduce-refused", !found.verified || touched);
});
