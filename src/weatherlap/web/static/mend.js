// The cheapest mend: one tap lays its changes.
import { ask, newKey } from "./ask.js";

const begins = JSON.parse(document.getElementById("begins").textContent);
const said = document.getElementById("said");
for (const button of document.querySelectorAll("[data-lay]")) {
  button.addEventListener("click", async () => {
    button.disabled = true;
    const act = { do: "lay-mend", changes: begins.sets[button.dataset.lay].changes };
    try {
      await ask(`/api/jobs/${begins.job}/acts`, { method: "POST", body: { base: begins.revision, act, key: newKey(), bare: true } });
      location.href = `/job/${begins.job}?state=repaired`;
    } catch (error) {
      said.textContent = error.message;
      said.classList.add("wrong");
      button.disabled = false;
    }
  });
}
