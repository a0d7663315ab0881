"""Reads a DXF with ezdxf and prints what a cutting shop would see: one line an entity.

version AC1009 / errors N / layer NAME / ring LAYER closed x,y x,y ... / arc LAYER x,y radius of each
edge of the ring that is one / line LAYER x,y x,y
"""
import sys

import ezdxf
from ezdxf.math import bulge_center, bulge_radius

document = ezdxf.readfile(sys.argv[1])
audit = document.audit()
print("version", document.dxfversion)
print("errors", len(audit.errors) + len(audit.fixes))
for layer in document.layers:
    print("layer", layer.dxf.name)
for entity in document.modelspace():
    if entity.dxftype() == "POLYLINE":
        points = [vertex.dxf.location for vertex in entity.vertices]
        print("ring", entity.dxf.layer, "closed" if entity.is_closed else "open",
              *("%.6f,%.6f" % (p.x, p.y) for p in points))
        vertices = list(entity.vertices)
        for i, vertex in enumerate(vertices):
            bulge = vertex.dxf.get("bulge", 0)
            if not bulge:
                continue
            ends = (vertex.dxf.location.vec2, vertices[(i + 1) % len(vertices)].dxf.location.vec2)
            centre = bulge_center(*ends, bulge)
            print("arc", entity.dxf.layer, "%.6f,%.6f" % (centre.x, centre.y),
                  "%.6f" % bulge_radius(*ends, bulge))
    elif entity.dxftype() == "LINE":
        print("line", entity.dxf.layer, *("%.6f,%.6f" % (p.x, p.y) for p in (entity.dxf.start, entity.dxf.end)))
