// A part's page: drawings as wide as their letters need, and the print button.
for (const box of document.querySelectorAll("[data-wide]")) {
  box.firstElementChild?.style.setProperty("width", `min(${box.dataset.wide}px, max(100%, 34rem))`);
}
document.getElementById("print").addEventListener("click", () => print());
// Paper has no lids: what was folded away is printed too, then folded again.
let folded = [];
addEventListener("beforeprint", () => {
  folded = [...document.querySelectorAll("details.moreleaf:not([open])")];
  for (const box of folded) box.open = true;
});
addEventListener("afterprint", () => {
  for (const box of folded) box.open = false;
});
