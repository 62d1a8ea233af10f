// What rings, as dots on the curves; the tallest of each curve with its height and frequency.
const marked = (() => {
  const SIZE = 12;

  // Words that stay readable over curves.
  const words = (ctx, text, x, y, colour) => {
    ctx.save();
    ctx.lineWidth = 4 * devicePixelRatio;
    ctx.strokeStyle = themes.colour("field");
    ctx.strokeText(text, x, y);
    ctx.fillStyle = colour;
    ctx.fillText(text, x, y);
    ctx.restore();
  };

  // A place beside a dot where a label of this width meets neither another nor the edge; nothing where there is none.
  const free = (taken, { left, top, right, bottom }, x, y, width, scale) => {
    const height = SIZE * scale;
    const gap = 9 * scale;
    const places = [
      [x + gap, y - gap],
      [x - gap - width, y - gap],
      [x + gap, y + gap + height],
      [x - gap - width, y + gap + height],
      [x - 0.5 * width, y - 2.4 * gap],
      [x - 0.5 * width, y + 2 * gap + height],
    ];
    const boxes = places.map(([from, base]) => ({ left: from, right: from + width, top: base - height, bottom: base + 3 * scale }));
    const clear = (box) =>
      box.left >= left && box.right <= right && box.top >= top && box.bottom <= bottom &&
      taken.every((other) => box.right < other.left || box.left > other.right || box.bottom < other.top || box.top > other.bottom);
    return boxes.find(clear);
  };

  // `tops` has for each curve the places of its dots in values of the chart.
  const draw = (chart, tops, told) => {
    const { ctx, bbox } = chart;
    const scale = devicePixelRatio;
    const edges = { left: bbox.left, right: bbox.left + bbox.width, top: bbox.top, bottom: bbox.top + bbox.height };
    const taken = [];
    const labels = [];
    ctx.save();
    ctx.setLineDash([]);
    ctx.lineWidth = 2.2 * scale;
    for (const { colour, dots } of tops) {
      const tallest = dots.reduce((best, dot) => (best && best.value >= dot.value ? best : dot), null);
      for (const dot of dots) {
        const x = chart.valToPos(dot.frequency, "x", true);
        const y = chart.valToPos(dot.value, "y", true);
        if (x < edges.left || x > edges.right || y < bbox.top || y > edges.bottom) continue;
        ctx.beginPath();
        ctx.arc(x, y, 4.5 * scale, 0, 2 * Math.PI);
        ctx.fillStyle = themes.colour("field");
        ctx.strokeStyle = themes.colour(colour);
        ctx.fill();
        ctx.stroke();
        taken.push({ left: x - 5 * scale, right: x + 5 * scale, top: y - 5 * scale, bottom: y + 5 * scale });
        if (dot === tallest) labels.push({ x, y, text: told(dot) });
      }
    }
    ctx.font = `${SIZE * scale}px sans-serif`;
    ctx.textAlign = "left";
    ctx.textBaseline = "alphabetic";
    ctx.lineJoin = "round";
    for (const { x, y, text } of labels) {
      const box = free(taken, edges, x, y, ctx.measureText(text).width, scale);
      if (!box) continue;
      taken.push(box);
      words(ctx, text, box.left, box.bottom - 3 * scale, themes.colour("ink"));
    }
    ctx.restore();
  };

  return { draw };
})();
