#include "faces.h"

#include <fmt/format.h>

#include <ft2build.h>
#include FT_BBOX_H
#include FT_FREETYPE_H
#include FT_OUTLINE_H

namespace letters {
namespace {

// The outline as SVG path data; FreeType's y points up, SVG's down.
struct Path {
  std::string data;
  bool open = false;

  void close() {
    if (open) data += 'Z';
    open = false;
  }
};

std::string at(const FT_Vector* p) {
  return fmt::format("{} {} ", p->x, -p->y);
}

int move_to(const FT_Vector* to, void* user) {
  auto& path = *static_cast<Path*>(user);
  path.close();
  path.data += 'M' + at(to);
  path.open = true;
  return 0;
}

int line_to(const FT_Vector* to, void* user) {
  static_cast<Path*>(user)->data += 'L' + at(to);
  return 0;
}

int conic_to(const FT_Vector* control, const FT_Vector* to, void* user) {
  static_cast<Path*>(user)->data += 'Q' + at(control) + at(to);
  return 0;
}

int cubic_to(const FT_Vector* a, const FT_Vector* b, const FT_Vector* to, void* user) {
  static_cast<Path*>(user)->data += 'C' + at(a) + at(b) + at(to);
  return 0;
}

struct Box {
  double x0 = 0, y0 = 0, x1 = 0, y1 = 0;
};

// Exact box of the curves, in font units.
bool load(FT_Face face, char sign, Box& box) {
  const FT_UInt index = FT_Get_Char_Index(face, static_cast<unsigned char>(sign));
  if (index == 0 || FT_Load_Glyph(face, index, FT_LOAD_NO_SCALE) != 0) return false;
  FT_BBox b;
  if (face->glyph->outline.n_points == 0 || FT_Outline_Get_BBox(&face->glyph->outline, &b) != 0)
    return false;
  box = {double(b.xMin), double(b.yMin), double(b.xMax), double(b.yMax)};
  return box.x1 > box.x0 && box.y1 > box.y0;
}

bool read(FT_Face face, char sign, double cap, Glyph& glyph) {
  Box box;
  if (!load(face, sign, box)) return false;
  Path path;
  FT_Outline_Funcs take{move_to, line_to, conic_to, cubic_to, 0, 0};
  if (FT_Outline_Decompose(&face->glyph->outline, &take, &path) != 0) return false;
  path.close();
  glyph.sign = sign;
  glyph.svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{} {} {} {}\"><path fill=\"#16324f\" "
      "d=\"{}\"/></svg>\n",
      box.x0, -box.y1, box.x1 - box.x0, box.y1 - box.y0, path.data);
  glyph.width = (box.x1 - box.x0) / cap, glyph.height = (box.y1 - box.y0) / cap;
  glyph.x = box.x0 / cap, glyph.y = box.y0 / cap;
  return true;
}

}  // namespace

const std::vector<Face>& faces() {
  static const std::vector<Face> all{
      {"sans", "truetype/dejavu/DejaVuSans.ttf"},
      {"sans-bold", "truetype/dejavu/DejaVuSans-Bold.ttf"},
      {"mono", "truetype/dejavu/DejaVuSansMono.ttf"},
      {"condensed", "truetype/roboto/unhinted/RobotoCondensed-Bold.ttf"},
      {"grotesque", "truetype/roboto/unhinted/RobotoTTF/Roboto-Medium.ttf"},
      {"poster", "opentype/bebas-neue/BebasNeue-Bold.otf"},
      {"heavy", "opentype/league-spartan/LeagueSpartan-Black.otf"},
      {"serif", "truetype/charis/CharisSIL-Bold.ttf"},
      {"serif-wide", "truetype/dejavu/DejaVuSerif-Bold.ttf"},
      {"slab", "opentype/roboto/slab/RobotoSlab-Bold.otf"},
      {"script", "opentype/lobster/lobster.otf"},
      {"brush", "opentype/kaushanscript/KaushanScript-Regular.otf"}};
  return all;
}

const std::string& signs() {
  static const std::string all =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789&!?.,:;'\"-+/@#$%()*=";
  return all;
}

std::vector<Glyph> glyphs(const Face& face, const std::string& signs) {
  std::vector<Glyph> all;
  FT_Library library = nullptr;
  if (FT_Init_FreeType(&library) != 0) return all;
  FT_Face open = nullptr;
  const std::string path = "/usr/share/fonts/" + face.file;
  Box capital;
  if (FT_New_Face(library, path.c_str(), 0, &open) == 0 && load(open, 'H', capital)) {
    for (const char sign : signs) {
      Glyph glyph;
      if (read(open, sign, capital.y1 - capital.y0, glyph)) all.push_back(std::move(glyph));
    }
  }
  FT_Done_FreeType(library);  // and every face of it
  return all;
}

}  // namespace letters
