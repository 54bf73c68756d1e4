// The corner in space, drawn apart, turned with a thumb: far things first, in ink on paper.
const SHADES = { sheds: 250, resists: 226, absorbs: 206, open: 240 };

export class Solid {
  constructor(canvas, slider) {
    this.canvas = canvas;
    this.turn = -0.6;
    this.lift = 0.45;
    this.apart = 1;
    this.things = null;
    let from = null;
    canvas.addEventListener("pointerdown", (e) => { canvas.setPointerCapture(e.pointerId); from = [e.clientX, e.clientY]; });
    canvas.addEventListener("pointermove", (e) => {
      if (!from) return;
      this.by((e.clientX - from[0]) / 150, (e.clientY - from[1]) / 150);
      from = [e.clientX, e.clientY];
    });
    canvas.addEventListener("pointerup", () => { from = null; });
    canvas.addEventListener("pointercancel", () => { from = null; });
    canvas.addEventListener("keydown", (e) => {
      const ways = { ArrowLeft: [-0.12, 0], ArrowRight: [0.12, 0], ArrowUp: [0, -0.12], ArrowDown: [0, 0.12] };
      if (e.key in ways) { e.preventDefault(); this.by(...ways[e.key]); }
    });
    slider.addEventListener("input", () => { this.apart = Number(slider.value); this.draw(); });
    new ResizeObserver(() => this.draw()).observe(canvas);
  }

  by(turn, lift) {
    this.turn -= turn;
    this.lift = Math.max(-1.4, Math.min(1.5, this.lift + lift));
    this.draw();
  }

  show(things) {
    const first = !this.things;
    this.things = things;
    const all = things.faces.flatMap((f) => f.outline);
    this.middle = [0, 1, 2].map((k) => (Math.min(...all.map((p) => p[k])) + Math.max(...all.map((p) => p[k]))) / 2);
    this.reach = Math.max(...all.map((p) => Math.hypot(...p.map((x, k) => x - this.middle[k])))) || 1;
    if (first) {
      const n = things.faces.map((f) => f.normal).reduce((a, b) => a.map((x, k) => x + b[k]), [0, 0, 0]);
      this.turn = Math.atan2(n[0], n[1]) + 0.5;
    }
    this.draw();
  }

  draw() {
    const { canvas, things } = this;
    if (!things || !canvas.clientWidth) return;
    const dots = window.devicePixelRatio || 1;
    const [wide, high] = [canvas.clientWidth, canvas.clientHeight];
    canvas.width = wide * dots;
    canvas.height = high * dots;
    const ink = canvas.getContext("2d");
    ink.scale(dots, dots);
    ink.fillStyle = "#fff";
    ink.fillRect(0, 0, wide, high);
    ink.lineJoin = "round";
    const [st, ct, sl, cl] = [Math.sin(this.turn), Math.cos(this.turn), Math.sin(this.lift), Math.cos(this.lift)];
    const toward = [st * cl, ct * cl, sl], right = [-ct, st, 0], up = [-st * sl, -ct * sl, cl];
    const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    const scale = (0.44 * Math.min(wide, high)) / this.reach;
    const moved = (p, m) => p.map((x, k) => x + (m ? m[k] * this.apart : 0) - this.middle[k]);
    const flat = (p) => [wide / 2 + dot(p, right) * scale, high / 2 - dot(p, up) * scale];
    const plates = [];
    things.faces.forEach((f, n) => plates.push(this.plate([f.outline], null, f.normal, 236, -1 - n / 1000, moved, dot, toward)));
    things.pieces.forEach((piece, n) => {
      for (const panel of piece.panels) plates.push(this.plate(panel.rings, piece.move, panel.normal, SHADES[piece.sheet] || 235, n, moved, dot, toward));
    });
    plates.sort((a, b) => a.depth - b.depth || (a.faced ? a.rank - b.rank : b.rank - a.rank));
    for (const plate of plates) this.paint(ink, plate, flat);
    this.trails(ink, things, moved, flat);
    this.letters(ink, things, moved, flat);
  }

  plate(rings, move, normal, shade, rank, moved, dot, toward) {
    const at = rings.map((ring) => ring.map((p) => moved(p, move)));
    const all = at.flat();
    const depth = all.reduce((sum, p) => sum + dot(p, toward), 0) / all.length;
    const light = 0.86 + 0.14 * Math.abs(dot(normal, toward));
    return { at, depth: Math.round(depth * 8) / 8, rank, faced: dot(normal, toward) > 0, shade: Math.round(shade * light) };
  }

  paint(ink, plate, flat) {
    ink.beginPath();
    for (const ring of plate.at) {
      ring.forEach((p, k) => { const [x, y] = flat(p); if (k) ink.lineTo(x, y); else ink.moveTo(x, y); });
      ink.closePath();
    }
    ink.globalAlpha = plate.rank < 0 ? 0.5 : 0.94;
    ink.fillStyle = `rgb(${plate.shade},${plate.shade},${plate.shade - 6})`;
    ink.fill("evenodd");
    ink.globalAlpha = 1;
    ink.strokeStyle = "#111";
    ink.lineWidth = plate.rank < 0 ? 0.5 : 0.9;
    ink.stroke();
  }

  // On a piece the water is a full line; where it passes to one that is drawn apart, a faint one.
  trails(ink, things, moved, flat) {
    const moves = Object.fromEntries(things.pieces.map((p) => [p.id, p.move]));
    for (const line of things.trails) {
      const first = line.layer === "first";
      const points = line.points.map((p, k) => flat(moved(p, moves[line.pieces[k]])));
      for (const along of [true, false]) {
        ink.strokeStyle = along ? "#0a4f87" : "#7d9db8";
        ink.lineWidth = along ? (first ? 1.8 : 1.1) : 0.7;
        ink.setLineDash(along ? (first ? [] : [5, 3]) : [1, 4]);
        ink.beginPath();
        for (let k = 1; k < points.length; k++) {
          if ((line.pieces[k] === line.pieces[k - 1]) !== along) continue;
          ink.moveTo(...points[k - 1]);
          ink.lineTo(...points[k]);
        }
        ink.stroke();
      }
    }
    ink.setLineDash([]);
  }

  letters(ink, things, moved, flat) {
    const moves = Object.fromEntries(things.pieces.map((p) => [p.id, p.move]));
    ink.font = "700 12px 'DejaVu Sans', sans-serif";
    ink.textAlign = "center";
    ink.textBaseline = "middle";
    for (const found of things.findings) {
      const [x, y] = flat(moved(found.at, moves[found.upper ?? found.lower]));
      ink.beginPath();
      ink.arc(x, y, 10 + 3 * (found.letter.length - 1), 0, 7);
      ink.fillStyle = "#fff";
      ink.fill();
      ink.lineWidth = 1.8;
      ink.strokeStyle = "#111";
      ink.stroke();
      ink.fillStyle = "#111";
      ink.fillText(found.letter, x, y + 0.5);
    }
  }
}
