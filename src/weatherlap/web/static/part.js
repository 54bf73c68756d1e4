// A part's page: drawings as wide as their letters need, and the print button.
for (const box of document.querySelectorAll("[data-wide]")) {
  box.firstElementChild?.style.setProperty("width", `min(${box.dataset.wide}px, max(100%, 34rem))`);
}
document.getElementById("print").addEventListener("click", () => print());
