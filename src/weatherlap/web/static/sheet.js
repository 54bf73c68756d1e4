// On every page: the evening sheet.
const KEY = "weatherlap-sheet";
const root = document.documentElement;
const button = document.getElementById("evening");

function show(evening) {
  root.dataset.sheet = evening ? "evening" : "day";
  button?.setAttribute("aria-pressed", String(evening));
}

let kept = null;
try { kept = localStorage.getItem(KEY); } catch { /* private windows keep nothing */ }
show(kept ? kept === "evening" : matchMedia("(prefers-color-scheme: dark)").matches);
button?.addEventListener("click", () => {
  const evening = root.dataset.sheet !== "evening";
  show(evening);
  try { localStorage.setItem(KEY, evening ? "evening" : "day"); } catch { /* as above */ }
});

// By https with a trusted certificate pages reopen without a signal.
if (location.protocol === "https:" && "serviceWorker" in navigator) {
  navigator.serviceWorker.register("/offline.js").catch(() => { /* the certificate is not trusted */ });
}
