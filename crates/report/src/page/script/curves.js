// The packed curves of the page as columns that a chart can draw.
const curves = (() => {
  // Times and values of a packed waveform.
  const unpack = (packed) => {
    const bytes = Uint8Array.from(atob(packed.points), (letter) => letter.charCodeAt(0));
    const words = new DataView(bytes.buffer);
    const at = (index, [low, high]) => low + ((high - low) * words.getUint16(2 * index, true)) / 65535;
    const points = [];
    for (let index = 0; index < bytes.length / 2; index += 2)
      points.push([at(index, packed.time), at(index + 1, packed.value)]);
    return points;
  };

  // The whole span, with the stretch that is known in detail put in its place.
  const waveform = (trace) => {
    const detail = unpack(trace.detail);
    const overview = unpack(trace.overview);
    if (!detail.length) return overview;
    if (!overview.length) return detail;
    const [from, to] = trace.detail.time;
    return [...overview.filter(([time]) => time < from), ...detail, ...overview.filter(([time]) => time > to)];
  };

  // The value of a line through points at a time; nothing outside.
  const between = (points, time, hint) => {
    let at = hint;
    while (at + 1 < points.length && points[at + 1][0] < time) at += 1;
    if (!points.length || time < points[0][0] || time > points[points.length - 1][0]) return [null, at];
    const [a, b] = [points[at], points[Math.min(at + 1, points.length - 1)]];
    const share = b[0] > a[0] ? (time - a[0]) / (b[0] - a[0]) : 0;
    return [a[1] + share * (b[1] - a[1]), at];
  };

  // All waveforms of a condition over the times of all of them.
  const overTime = (traces) => {
    const all = traces.map((trace) => (trace ? waveform(trace) : []));
    const times = [...new Set(all.flatMap((points) => points.map(([time]) => time)))].sort((a, b) => a - b);
    const columns = all.map((points) => {
      let hint = 0;
      return times.map((time) => {
        const [value, at] = between(points, time, hint);
        hint = at;
        return value;
      });
    });
    return [times, ...columns];
  };

  const decibels = (magnitude) => (magnitude > 0 ? 20 * Math.log10(magnitude) : null);

  // All responses of a condition, in dB or as they are, with the tops of what rings between the frequencies computed. Another curve
  // gets there what its line has.
  const overFrequency = (frequencies, all, tops, decibel) => {
    const shown = (value) => (value === null || !decibel ? value : decibels(value));
    const every = [...new Set([...frequencies, ...tops.flat().map(([frequency]) => frequency)])].sort((a, b) => a - b);
    const column = (values, own) => {
      if (!values) return every.map(() => null);
      const known = new Map(frequencies.map((frequency, at) => [frequency, shown(values[at])]));
      for (const [frequency, magnitude] of own) known.set(frequency, shown(magnitude));
      const points = [...known].filter(([, value]) => value !== null).sort(([a], [b]) => a - b);
      const logarithms = points.map(([frequency, value]) => [Math.log(frequency), value]);
      let hint = 0;
      return every.map((frequency) => {
        if (known.has(frequency)) return known.get(frequency);
        const [value, at] = between(logarithms, Math.log(frequency), hint);
        hint = at;
        return value;
      });
    };
    return [every, ...all.map((values, at) => column(values, tops[at] || []))];
  };

  // Where the detail of a condition lies.
  const detail = (traces) => {
    const first = traces.find((trace) => trace && trace.detail.time[1] > trace.detail.time[0]);
    return first ? first.detail.time : null;
  };

  return { overTime, overFrequency, detail, decibels };
})();
