// Says how far long work is, and goes on when it is done.
import { ask, Away } from "./ask.js";

const box = document.getElementById("working");
const said = document.getElementById("said");

async function look() {
  try {
    const told = await ask(box.dataset.way);
    if (told.said.length) said.textContent = told.said.at(-1);
    if (!told.ready) return setTimeout(look, 300);
    if (!box.dataset.goesTo) return location.reload();
    document.getElementById("going").value = 1;
    document.getElementById("doing").textContent = "Ready.";
    said.textContent = "";
    document.getElementById("file").hidden = false;
    location.href = box.dataset.goesTo;
  } catch (error) {
    if (error instanceof Away) return setTimeout(look, 3000);
    document.getElementById("going").hidden = true;
    document.getElementById("problems").textContent = error.message;
  }
}
look();
