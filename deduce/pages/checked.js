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
document.querySelectorAll("[data-deduce-checked]").forEach(place => {
  const held = document.querySelector("script.deduce-document"), found = check(held ? held.textContent : "");
  place.textContent = told(found);
  place.classList.toggle("deduce-refused", !found.verified);
});
