"""Reads a DXF with ezdxf and prints what a cutting shop would see: one line an entity.

version AC1009 / errors N / layer NAME / ring LAYER closed x,y x,y ... / line LAYER x,y x,y
"""
import sys

import ezdxf

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
    elif entity.dxftype() == "LINE":
        print("line", entity.dxf.layer, *("%.6f,%.6f" % (p.x, p.y) for p in (entity.dxf.start, entity.dxf.end)))
