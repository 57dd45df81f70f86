#include "cap/setup.h"

namespace buckram::cap {
namespace {

using base::Range;
using base::Table;

CrownShape read_crown(const Table& t) {
  CrownShape crown;
  crown.r0_mm = t.number("r0_mm", {60, 130});
  crown.s90_mm = t.number("s90_mm", {40, 220});
  crown.psi0_rad = base::radians(t.number("psi0_deg", {-15, 60}));
  crown.m = t.number("m", {0.3, 20});
  t.refuse_unknown();
  return crown;
}

Seam read_seam(const Table& t) {
  Seam seam;
  seam.ridge_mm = t.number("ridge_mm", {0, 5});
  seam.width_mm = t.number("width_mm", {1, 30});
  seam.tape_mm = t.number("tape_mm", {0, 3});
  seam.extra_n = t.number("extra_n", {0, 20});
  seam.half_width_mm = t.number("half_width_mm", {0, 30});
  t.refuse_unknown();
  return seam;
}

BillEdge read_bill(const Table& t) {
  BillEdge bill;
  bill.bulk_mm = t.number("bulk_mm", {0, 10});
  bill.reach_mm = t.number("reach_mm", {1, 30});
  bill.extra_n = t.number("extra_n", {0, 20});
  bill.allowance_mm = t.number("allowance_mm", {0, 30});
  bill.keep_off_mm = t.number("keep_off_mm", {0, 30});
  t.refuse_unknown();
  return bill;
}

Layer read_layer(const Table& t) {
  Layer layer;
  layer.name = t.text("name");
  layer.hardness_n_per_mm = t.number("hardness_n_per_mm", {0, 50});
  layer.thickness_mm = t.number("thickness_mm", {0, 15});
  layer.is_stiffener = t.truth("stiffener", false);
  t.refuse_unknown();
  return layer;
}

Eyelet read_eyelet(const Table& t) {
  Eyelet eyelet;
  eyelet.at = {t.number("x_mm", {-200, 200}), t.number("y_mm", {0, 250})};
  eyelet.radius_mm = t.number("radius_mm", {0.5, 30});
  t.refuse_unknown();
  return eyelet;
}

Table need_table(const Table& t, std::string_view key) {
  if (auto found = t.table(key)) return *found;
  throw base::Error{base::ErrorCode::bad_data, "the table [" + std::string(key) + "] is missing",
                    t.where(), "Add it"};
}

}  // namespace

Cap read_cap(std::string_view toml, const std::string& where) {
  return read_cap(Table::parse(toml, where));
}

Cap read_cap(const Table& t) {
  Cap cap;
  cap.name = t.text("name");
  cap.title = t.text("title");
  cap.panels = t.integer("panels", {1, 12});
  cap.is_structured = t.truth("structured", true);
  cap.cloth_rgb = t.text("cloth_rgb", cap.cloth_rgb);
  cap.source = t.text("source");
  cap.crown = read_crown(need_table(t, "crown"));
  for (const Table& layer : t.tables("layer")) cap.layers.push_back(read_layer(layer));
  if (cap.layers.empty()) {
    throw base::Error{base::ErrorCode::bad_data, "the cap has no [[layer]]", t.where(),
                      "Add its cloth, and its stiffener if it has one"};
  }
  const auto seam = t.table("seam");
  cap.has_seam = seam.has_value();
  if (seam) cap.seam = read_seam(*seam);
  cap.bill = read_bill(need_table(t, "bill"));
  for (const Table& eyelet : t.tables("eyelet")) cap.eyelets.push_back(read_eyelet(eyelet));
  t.refuse_unknown();
  return cap;
}

std::vector<Fabric> read_fabrics(std::string_view toml, const std::string& where) {
  const Table t = Table::parse(toml, where);
  std::vector<Fabric> fabrics;
  for (const Table& f : t.tables("fabric")) {
    Fabric fabric;
    fabric.name = f.text("name");
    fabric.title = f.text("title");
    fabric.is_backing = f.truth("backing", false);
    fabric.layer.name = fabric.name;
    fabric.layer.hardness_n_per_mm = f.number("hardness_n_per_mm", {0, 50});
    fabric.layer.thickness_mm = f.number("thickness_mm", {0, 15});
    fabric.layer.is_stiffener = f.truth("stiffener", false);
    f.text("source");
    f.refuse_unknown();
    fabrics.push_back(std::move(fabric));
  }
  t.refuse_unknown();
  return fabrics;
}

}  // namespace buckram::cap
