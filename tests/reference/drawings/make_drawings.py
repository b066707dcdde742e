"""Writes one window as several general-purpose libraries write SVG.

Python 3.11 with svgwrite 1.4.3, drawsvg 2.4.2, matplotlib 3.11.2 and reportlab 5.1.0; then Inkscape 1.2.2 turns the strokes
of one of the files into shapes. The window is 400 by 600 mm, y down from the top left:
edge, a level lead at 400, a wave, and uprights at 150 (below the lead) and 300. Two more leads are faulty on purpose in the
files named *_faults: one stops 1 mm short of the level lead, one overshoots it by 2 mm (4 and 12 mm where strokes become
shapes, whose faces would hide less).
"""
import os
import subprocess

W, H = 400, 600
LEVEL = [(0, 400), (400, 400)]
WAVE = [(0, 180), (130, 130), (270, 230), (400, 180)]
SHORT = [(150, 600), (150, 400)]
LONG = [(300, 600), (300, 0)]
FAULTS = [[(60, 600), (60, 401)], [(230, 600), (230, 398)]]
FACE_FAULTS = [[(60, 600), (60, 404)], [(230, 600), (230, 388)]]


def svgwrite_files():
    import svgwrite
    from svgwrite.extensions import Inkscape

    # Real millimetres, layers with labels, the whole drawing turned upside down and back by transforms.
    d = svgwrite.Drawing("svgwrite.svg", size=("440mm", "640mm"), viewBox="0 0 440 640", profile="full")
    ink = Inkscape(d)
    turned = d.add(d.g(transform="translate(20,620) scale(1,-1)"))
    again = turned.add(d.g(transform="translate(0,600) scale(1,-1)"))
    edge = again.add(ink.layer(label="Sight size", fill="none", stroke="black", stroke_width=10))
    edge.add(d.rect((0, 0), (W, H)))
    leads = again.add(ink.layer(label="Lead lines", fill="none", stroke="black", stroke_width=5))
    for a, b in (LEVEL, SHORT, LONG):
        leads.add(d.line(a, b))
    a, b, c, e = WAVE
    leads.add(d.path(d=["M", a, "C", b, c, e]))
    notes = again.add(ink.layer(label="Numbers"))
    notes.add(d.text("7", insert=(60, 60)))
    d.save(pretty=True)

    # The same with two faults, one layer, hairlines.
    d = svgwrite.Drawing("svgwrite_faults.svg", size=("400mm", "600mm"), viewBox="0 0 400 600")
    g = d.add(d.g(fill="none", stroke="red", stroke_width=0.1))
    g.add(d.polygon([(0, 0), (W, 0), (W, H), (0, H)]))
    for a, b in (LEVEL, SHORT, LONG, *FAULTS):
        g.add(d.polyline([a, b]))
    a, b, c, e = WAVE
    g.add(d.path(d=["M", a, "C", b, c, e]))
    d.save()


def drawsvg_file(name, faults=()):
    import drawsvg

    # No unit, its own middle as the origin, one style for everything, a background.
    d = drawsvg.Drawing(440, 640, origin="center")
    d.append(drawsvg.Rectangle(-220, -320, 440, 640, fill="white"))
    x, y = -W / 2, -H / 2
    style = dict(stroke="#222", stroke_width=4, fill="none")
    d.append(drawsvg.Rectangle(x, y, W, H, **style))
    for (ax, ay), (bx, by) in (LEVEL, SHORT, LONG, *faults):
        d.append(drawsvg.Line(x + ax, y + ay, x + bx, y + by, **style))
    a, b, c, e = WAVE
    d.append(drawsvg.Path(**style).M(x + a[0], y + a[1]).C(x + b[0], y + b[1], x + c[0], y + c[1], x + e[0], y + e[1]))
    d.save_svg(name)


def matplotlib_file(name, faults=()):
    import matplotlib

    matplotlib.use("svg")
    matplotlib.rcParams["svg.hashsalt"] = "window"
    import matplotlib.pyplot as plt
    from matplotlib.patches import PathPatch, Rectangle
    from matplotlib.path import Path

    inch = 25.4
    figure = plt.figure(figsize=(440 / inch, 640 / inch))
    axes = figure.add_axes([0, 0, 1, 1])
    axes.set_xlim(-20, 420)
    axes.set_ylim(620, -20)
    axes.axis("off")
    point = 72 / inch
    axes.add_patch(Rectangle((0, 0), W, H, fill=False, linewidth=10 * point, edgecolor="black"))
    for line in (LEVEL, SHORT, LONG, *faults):
        axes.add_patch(PathPatch(Path(line), fill=False, linewidth=5 * point, edgecolor="black"))
    axes.add_patch(PathPatch(Path(WAVE, [1, 4, 4, 4]), fill=False, linewidth=5 * point, edgecolor="black"))
    for k, (x, y) in enumerate([(150, 80), (350, 80), (75, 500), (225, 500)]):
        axes.text(x, y, str(k + 1), fontsize=14)
    figure.savefig(name, metadata={"Date": None})


def reportlab_file(name, faults=()):
    from reportlab.graphics import renderSVG
    from reportlab.graphics.shapes import Drawing, Line, Path, Rect
    from reportlab.lib.units import mm
    from reportlab.lib import colors

    # Points, y up, turned by a transform.
    d = Drawing(440 * mm, 640 * mm)
    at = lambda p: ((20 + p[0]) * mm, (20 + H - p[1]) * mm)
    style = dict(strokeColor=colors.black, strokeWidth=5 * mm)
    d.add(Rect(20 * mm, 20 * mm, W * mm, H * mm, fillColor=None, **style))
    for a, b in (LEVEL, SHORT, LONG, *faults):
        d.add(Line(*at(a), *at(b), **style))
    path = Path(fillColor=None, **style)
    a, b, c, e = map(at, WAVE)
    path.moveTo(*a)
    path.curveTo(*b, *c, *e)
    d.add(path)
    renderSVG.drawToFile(d, name)


def inkscape_files():
    shapes = "select-all:all;object-stroke-to-path"
    for source, name, actions in [
        ("svgwrite_plain.svg", "inkscape_shapes.svg", shapes),
        ("svgwrite_plain.svg", "inkscape_net.svg", f"{shapes};path-union"),
        ("face_faults.svg", "inkscape_faults.svg", f"{shapes};path-union"),
    ]:
        subprocess.run(
            ["inkscape", source, f"--actions={actions};export-filename:{name};export-plain-svg;export-do"],
            check=True,
        )


def plain(name, faults=()):
    import svgwrite

    d = svgwrite.Drawing(name, size=("440mm", "640mm"), viewBox="-20 -20 440 640")
    edge = dict(fill="none", stroke="black", stroke_width=10)
    style = dict(fill="none", stroke="black", stroke_width=5)
    d.add(d.rect((0, 0), (W, H), **edge))
    for line in (LEVEL, SHORT, LONG, *faults):
        d.add(d.line(*line, **style))
    a, b, c, e = WAVE
    d.add(d.path(d=["M", a, "C", b, c, e], **style))
    d.save()


if __name__ == "__main__":
    svgwrite_files()
    for ending, faults in [("", ()), ("_faults", FAULTS)]:
        drawsvg_file(f"drawsvg{ending}.svg", faults)
        matplotlib_file(f"matplotlib{ending}.svg", faults)
        reportlab_file(f"reportlab{ending}.svg", faults)
    plain("svgwrite_plain.svg")
    plain("face_faults.svg", FACE_FAULTS)
    inkscape_files()
    os.remove("face_faults.svg")
