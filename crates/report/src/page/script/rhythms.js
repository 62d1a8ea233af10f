// What the drives repeat, over a chart of frequencies: shaded where a rhythm runs with the throttle, a line where it is highest.
const rhythms = (() => {
  const SIZE = 12;
  // Rows of words over the chart at most; the sentence under it names every rhythm.
  const MOST_ROWS = 4;
  const ROW = SIZE + 4;

  // Room over the chart for the words.
  const room = (bands) => 8 + ROW * Math.min(MOST_ROWS, bands.length);

  const places = (chart, band) => {
    const { left, width } = chart.bbox;
    const place = (frequency) => {
      const at = frequency > 0 ? chart.valToPos(frequency, "x", true) : left;
      return Math.min(left + width, Math.max(left, at));
    };
    const seen = band.high >= chart.scales.x.min && band.low <= chart.scales.x.max;
    return seen ? { from: place(band.low), to: place(band.high), whole: band.high <= chart.scales.x.max } : null;
  };

  const shade = (chart, bands) => {
    const { ctx, bbox } = chart;
    ctx.save();
    ctx.globalAlpha = 0.12;
    ctx.fillStyle = themes.colour("band");
    for (const band of bands) {
      const at = places(chart, band);
      if (at && band.low < band.high) ctx.fillRect(at.from, bbox.top, Math.max(2, at.to - at.from), bbox.height);
    }
    ctx.restore();
  };

  // Lines with their words over the chart, each in the first row where they run into no other's.
  const lines = (chart, bands) => {
    const { ctx, bbox } = chart;
    const scale = devicePixelRatio;
    const filled = [];
    ctx.save();
    ctx.font = `${SIZE * scale}px sans-serif`;
    ctx.textAlign = "left";
    ctx.textBaseline = "alphabetic";
    for (const band of bands) {
      const at = places(chart, band);
      if (!at) continue;
      if (at.whole) {
        ctx.strokeStyle = themes.colour("limit");
        ctx.lineWidth = 1.2 * scale;
        ctx.setLineDash([3 * scale, 3 * scale]);
        ctx.beginPath();
        ctx.moveTo(at.to, bbox.top);
        ctx.lineTo(at.to, bbox.top + bbox.height);
        ctx.stroke();
        ctx.setLineDash([]);
      }
      const width = ctx.measureText(band.text).width;
      const middle = at.whole ? at.to : 0.5 * (at.from + at.to);
      const x = Math.max(bbox.left, Math.min(bbox.left + bbox.width - width, middle - 0.5 * width));
      let row = filled.findIndex((end) => end + 10 * scale <= x);
      if (row < 0) row = filled.push(0) - 1;
      filled[row] = x + width;
      if (row >= MOST_ROWS) continue;
      ctx.fillStyle = themes.colour("muted");
      ctx.fillText(band.text, x, bbox.top - (6 + ROW * row) * scale);
    }
    ctx.restore();
  };

  return { room, shade, lines };
})();
