// The slower views of a job: section, drawn apart, the other state beside.
import { ask } from "./ask.js";

const $ = (id) => document.getElementById(id);

export async function drawSection(desk) {
  const way = `/api/jobs/${desk.job}/section?state=${desk.said.state}&face=${encodeURIComponent(desk.touch.face)}&at=${$("cut").value}`;
  const mine = (desk.cutTurn = (desk.cutTurn ?? 0) + 1);
  try {
    const svg = await ask(way, { plain: true });
    if (mine === desk.cutTurn) $("section").innerHTML = svg;
  } catch (error) {
    if (mine === desk.cutTurn) $("section").textContent = error.message;
  }
}

export async function drawSolid(desk) {
  try { desk.solid.show(await ask(`/api/jobs/${desk.job}/solid?state=${desk.said.state}`)); } catch (error) { desk.say(error.message, true); }
}

export async function drawOther(desk) {
  const other = desk.said.state === "found" ? "repaired" : "found";
  try {
    const { svg, touch } = await ask(`/api/jobs/${desk.job}/board?state=${other}&face=${encodeURIComponent(desk.touch.face)}`);
    $("other-ink").innerHTML = svg;
    $("other-name").textContent = `${touch.view}, as ${other}`;
  } catch (error) {
    $("other-name").textContent = error.message;
  }
}
