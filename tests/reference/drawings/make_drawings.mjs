// Writes windows as two general-purpose libraries for JavaScript write SVG: paper 0.12.20 and makerjs 0.19.2, Node 20.
// The panes of a pointed window as closed shapes side by side (paper), and its lead lines with arcs (makerjs); both also as lines with two faults.
import { writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
const require = createRequire(`${process.cwd()}/`);

const paper = require('paper-jsdom');
paper.setup(new paper.Size(440, 640));
// The panes of the rectangle of make_drawings.py: cut out of it by its leads.
const { Path, Point, Rectangle } = paper;
const edge = new Path.Rectangle(new Rectangle(20, 20, 400, 600));
const half = (points, wave) => {
  const path = new Path({ segments: points, closed: true });
  if (wave) wave(path);
  return path;
};
const above = new Path();
above.moveTo(new Point(20, 200));
above.cubicCurveTo(new Point(150, 150), new Point(290, 250), new Point(420, 200));
above.lineTo(new Point(420, 20));
above.lineTo(new Point(20, 20));
above.closePath();
const left = half([[0, 0], [320, 0], [320, 640], [0, 640]]);
const low = half([[0, 420], [440, 420], [440, 640], [0, 640]]);
const first = half([[0, 0], [170, 0], [170, 640], [0, 640]]);
const panes = [];
const cut = (a, by) => [a.intersect(by, { insert: false }), a.subtract(by, { insert: false })];
const [top, rest] = cut(edge, above);
const [bottom, middle] = cut(rest, low);
for (const part of [top, middle]) panes.push(...cut(part, left));
const [lowLeft, lowRight] = cut(bottom, left);
panes.push(...cut(lowLeft, first), lowRight);
paper.project.clear();
const colours = ['#204080', '#e0b040', '#702030'];
panes.forEach((pane, k) => {
  pane.fillColor = colours[k % 3];
  paper.project.activeLayer.addChild(pane);
});
writeFileSync('paper.svg', paper.project.exportSVG({ asString: true, precision: 5 }));

// The lines of the same window with the two faulty leads of make_drawings.py.
paper.project.clear();
const stroke = (data) =>
  paper.project.activeLayer.addChild(new Path({ pathData: data, strokeColor: '#333333', strokeWidth: 3 }));
stroke('M20 20h400v600h-400z');
stroke('M20 420h400');
stroke('M20 200c130 -50 270 50 400 0');
for (const data of ['M170 620v-200', 'M320 620v-600', 'M80 620v-199', 'M250 620v-202']) stroke(data);
writeFileSync('paper_faults.svg', paper.project.exportSVG({ asString: true, precision: 5 }));

const makerjs = require('makerjs');
const { Line, Arc } = makerjs.paths;
// An equilateral pointed arch, 300 wide, springing at 400; y up.
const model = {
  units: makerjs.unitType.Millimeter,
  models: {
    opening: {
      layer: 'opening',
      paths: {
        sill: new Line([0, 0], [300, 0]),
        right: new Line([300, 0], [300, 400]),
        left: new Line([0, 400], [0, 0]),
        over: new Arc([0, 400], 300, 0, 60),
        back: new Arc([300, 400], 300, 120, 180),
      },
    },
    leads: {
      layer: 'leads',
      paths: {
        springing: new Line([0, 400], [300, 400]),
        middle: new Line([150, 0], [150, 400]),
        rose: new Arc([150, 400], 80, 0, 180),
        stem: new Line([150, 480], [150, 400 + 150 * Math.sqrt(3)]),
      },
    },
  },
};
const options = { units: makerjs.unitType.Millimeter, strokeWidth: '0.5mm' };
writeFileSync('makerjs.svg', makerjs.exporter.toSVG(model, options));
// One upright stops 1 mm short of the springing, one goes 2 mm past it.
model.models.leads.paths.short = new Line([40, 0], [40, 399]);
model.models.leads.paths.long = new Line([260, 0], [260, 402]);
writeFileSync('makerjs_faults.svg', makerjs.exporter.toSVG(model, options));
