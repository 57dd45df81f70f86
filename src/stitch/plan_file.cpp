#include "stitch/plan_file.h"

#include "base/base.h"

#include <array>
#include <cmath>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace buckram::stitch {
namespace {

using Json = nlohmann::ordered_json;

// What a plan file may be made of; beyond it reading would cost more than the file is worth.
constexpr std::size_t kMostBytes = 128'000'000;
constexpr int kMostDepth = 40;
constexpr int kMostFields = 256;        // of one object: its fields are searched one after another
constexpr int kMostItems = 10'000'000;  // of the whole file
constexpr std::size_t kMostText = 10'000;
constexpr int kMostThreads = 1000;
constexpr int kMostObjects = 200'000;

[[noreturn]] void refuse(const std::string& where, std::string what) {
  throw base::Error{base::ErrorCode::bad_stitches, std::move(what), where,
                    "docs/plan-file.md describes every field"};
}

// --- before parsing -----------------------------------------------------------------------------

// Refuses what would make parsing slow or deep: the JSON library keeps an object's fields in a list
// and writes nested values by recursion.
class Scan {
 public:
  Scan(std::string_view bytes, const std::string& where) : bytes_(bytes), where_(where) {}
  void run() {
    if (bytes_.size() > kMostBytes) {
      refuse(where_, fmt::format("{} bytes; at most {} are read", bytes_.size(), kMostBytes));
    }
    for (std::size_t i = 0; i < bytes_.size(); ++i) {
      const char c = bytes_[i];
      if (c == '"') i = end_of_string(i);
      if (c == '{' || c == '[') open(c == '{');
      if ((c == '}' || c == ']') && depth_ > 0) --depth_;
      if (c == ',') separate();
    }
  }

 private:
  std::size_t end_of_string(std::size_t i) const {
    for (++i; i < bytes_.size() && bytes_[i] != '"'; ++i) {
      if (bytes_[i] == '\\') ++i;
    }
    return i;
  }
  void open(bool is_object) {
    if (depth_ == kMostDepth) refuse(where_, fmt::format("nested deeper than {}", kMostDepth));
    level_[static_cast<std::size_t>(depth_++)] = {is_object, 1};
  }
  void separate() {
    if (++items_ > kMostItems) refuse(where_, fmt::format("more than {} values", kMostItems));
    if (depth_ == 0) return;
    Level& level = level_[static_cast<std::size_t>(depth_) - 1];
    if (level.is_object && ++level.fields > kMostFields) {
      refuse(where_, fmt::format("an object with more than {} fields", kMostFields));
    }
  }
  struct Level {
    bool is_object = false;
    int fields = 0;
  };
  std::string_view bytes_;
  const std::string& where_;
  std::array<Level, kMostDepth> level_{};
  int depth_ = 0, items_ = 0;
};

Json parse(std::string_view bytes, const std::string& where) {
  Scan(bytes, where).run();
  try {
    return Json::parse(bytes.begin(), bytes.end());
  } catch (const Json::exception& e) {
    // The library's message carries its own prefix "[json.exception...] "; people get the rest.
    const std::string text = e.what();
    const std::size_t cut = text.find("] ");
    refuse(where, "not JSON: " + (cut == std::string::npos ? text : text.substr(cut + 2)));
  }
}

// --- reading ------------------------------------------------------------------------------------

// An object whose known fields are taken one by one; what is left is kept as `extra`.
class Fields {
 public:
  Fields(const Json& json, std::string where) : json_(json), where_(std::move(where)) {
    if (!json.is_object()) refuse(where_, "must be an object");
  }
  const Json* find(const char* key) {
    taken_.push_back(key);
    const auto it = json_.find(key);
    return it == json_.end() ? nullptr : &*it;
  }
  const Json& need(const char* key) {
    const Json* value = find(key);
    if (value == nullptr) refuse(where_, fmt::format("field `{}` is missing", key));
    return *value;
  }
  std::string text(const char* key) {
    const Json& value = need(key);
    const std::string* text = value.get_ptr<const std::string*>();
    if (text == nullptr) refuse(at(key), "must be text");
    if (text->size() > kMostText) refuse(at(key), fmt::format("longer than {} bytes", kMostText));
    return *text;
  }
  int integer(const char* key, int low, int high) {
    const Json& value = need(key);
    const bool fits =
        value.is_number_integer() &&
        (value.is_number_unsigned() ? value.get<std::uint64_t>() <= static_cast<std::uint64_t>(high)
                                    : value.get<std::int64_t>() <= high) &&
        (value.is_number_unsigned() || value.get<std::int64_t>() >= low) &&
        (!value.is_number_unsigned() || low <= 0 ||
         value.get<std::uint64_t>() >= static_cast<std::uint64_t>(low));
    if (!fits)
      refuse(at(key), fmt::format("is {}; it must be a whole number from {} to {}",
                                  value.dump().substr(0, 40), low, high));
    return value.get<int>();
  }
  double number(const char* key, double low, double high) {
    const Json& value = need(key);
    const bool fits =
        value.is_number() && value.get<double>() >= low && value.get<double>() <= high;
    if (!fits) refuse(at(key), fmt::format("must be a number from {} to {}", low, high));
    return value.get<double>();
  }
  const Json& array(const char* key, std::size_t most) {
    const Json& value = need(key);
    if (!value.is_array()) refuse(at(key), "must be a list");
    if (value.size() > most)
      refuse(at(key), fmt::format("{} items; at most {}", value.size(), most));
    return value;
  }
  std::string at(const char* key) const { return where_ + "." + key; }
  // Fields that nobody asked for, as a JSON object; empty when there are none.
  std::string extra() const {
    Json rest = Json::object();
    for (const auto& [key, value] : json_.items()) {
      if (std::find(taken_.begin(), taken_.end(), key) == taken_.end()) rest[key] = value;
    }
    return rest.empty() ? std::string() : rest.dump();
  }

 private:
  const Json& json_;
  std::string where_;
  std::vector<std::string> taken_;
};

template <typename Enum, std::size_t N>
Enum one_of(Fields& fields, const char* key, const std::array<Enum, N>& values) {
  const std::string text = fields.text(key);
  std::string known;
  for (const Enum value : values) {
    if (text == name(value)) return value;
    known += (known.empty() ? "" : ", ") + std::string(name(value));
  }
  refuse(fields.at(key), fmt::format("`{}` must be one of {}", text, known));
}

constexpr std::array kKinds{Kind::column, Kind::fill, Kind::run};
constexpr std::array kLayers{Layer::under, Layer::top, Layer::lock, Layer::travel};
constexpr std::string_view kOps = "smtcpe";

void check_head(Fields& fields, const std::string& where) {
  if (fields.find("buckram_plan") == nullptr) {
    refuse(where, "not a stitch plan: field `buckram_plan` is missing");
  }
  fields.integer("buckram_plan", 1, 1);
  for (const auto& [key, wanted] : {std::pair{"units", "mm"}, std::pair{"chart", "crown"}}) {
    if (fields.text(key) != wanted) refuse(fields.at(key), fmt::format("must be \"{}\"", wanted));
  }
}

geometry::Affine read_matrix(Fields& fields) {
  constexpr double kLargest = 1e9;
  const Json& m = fields.array("matrix", 6);
  double v[6];
  for (std::size_t k = 0; k < 6; ++k) {
    const bool fits = k < m.size() && m[k].is_number() && std::abs(m[k].get<double>()) <= kLargest;
    if (!fits) refuse(fields.at("matrix"), "must be six numbers a, b, c, d, e, f");
    v[k] = m[k].get<double>();
  }
  return {v[0], v[1], v[2], v[3], v[4], v[5]};
}

bool is_colour(const std::string& text) {
  return text.size() == 7 && text[0] == '#' &&
         text.find_first_not_of("0123456789abcdefABCDEF", 1) == std::string::npos;
}

PlanThread read_thread(const Json& json, const std::string& where) {
  Fields fields(json, where);
  PlanThread thread;
  thread.name = fields.text("name");
  thread.rgb = fields.text("rgb");
  if (!is_colour(thread.rgb)) refuse(fields.at("rgb"), "must be a colour like #1a2b3c");
  thread.tex = fields.number("tex", 1, 1000);
  thread.needle = fields.integer("needle", 1, 1000);
  if (fields.find("number") != nullptr) {
    thread.number = fields.text("number");
    if (thread.number.empty()) refuse(fields.at("number"), "is empty; leave it out");
  }
  thread.extra = fields.extra();
  return thread;
}

PlanObject read_object(const Json& json, const std::string& where) {
  Fields fields(json, where);
  PlanObject object;
  object.id = fields.integer("id", 1, kLargestObjectId);
  object.kind = one_of(fields, "kind", kKinds);
  object.thread = fields.integer("thread", 0, kMostThreads);
  object.source = fields.text("source");
  object.extra = fields.extra();
  return object;
}

Block read_block(const Json& json, const std::string& where) {
  Fields fields(json, where);
  Block block;
  block.object = fields.integer("object", 1, kLargestObjectId);
  block.layer = one_of(fields, "layer", kLayers);
  block.thread = fields.integer("thread", 0, kMostThreads);
  block.first = fields.integer("first", 0, kMostEntries);
  block.count = fields.integer("count", 1, kMostEntries);
  if (fields.find("speed_spm") != nullptr) block.speed_spm = fields.number("speed_spm", 1, 10'000);
  block.extra = fields.extra();
  return block;
}

template <typename T>
std::vector<T> read_list(Fields& fields, const char* key, std::size_t most,
                         T (*read)(const Json&, const std::string&)) {
  std::vector<T> list;
  for (const Json& item : fields.array(key, most)) {
    list.push_back(read(item, fmt::format("{}[{}]", fields.at(key), list.size())));
  }
  return list;
}

std::vector<double> read_coordinates(Fields& fields, const char* key) {
  std::vector<double> list;
  for (const Json& item : fields.array(key, kMostEntries)) {
    if (!item.is_number()) {
      refuse(fmt::format("{}[{}]", fields.at(key), list.size()), "must be a number");
    }
    list.push_back(item.get<double>());
  }
  return list;
}

void read_stitches(const Json& json, const std::string& where, Plan& plan) {
  Fields fields(json, where);
  plan.x = read_coordinates(fields, "x");
  plan.y = read_coordinates(fields, "y");
  const std::string* op = fields.need("op").get_ptr<const std::string*>();
  if (op == nullptr) refuse(fields.at("op"), "must be text");
  const std::size_t odd = op->find_first_not_of(kOps);
  if (odd != std::string::npos) {
    refuse(fields.at("op"), fmt::format("character {} must be one of {}", odd, kOps));
  }
  for (const char c : *op) plan.op.push_back(static_cast<Op>(c));
  plan.stitches_extra = fields.extra();
}

// --- writing ------------------------------------------------------------------------------------

std::string dump(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Json object_of(const std::string& text) {
  if (text.empty()) return Json::object();
  Json json = Json::parse(text, nullptr, false);
  BUCKRAM_ASSERT(json.is_object());
  return json;
}

// `known` followed by the fields of `extra`.
Json joined(Json known, const std::string& extra) {
  const Json rest = object_of(extra);  // named: items() keeps a reference
  for (const auto& [key, value] : rest.items()) known[key] = value;
  return known;
}

Json json_of(const PlanThread& t) {
  Json known{{"name", t.name}, {"rgb", t.rgb}, {"tex", t.tex}, {"needle", t.needle}};
  if (!t.number.empty()) known["number"] = t.number;
  return joined(std::move(known), t.extra);
}
Json json_of(const PlanObject& o) {
  return joined({{"id", o.id}, {"kind", name(o.kind)}, {"thread", o.thread}, {"source", o.source}},
                o.extra);
}
Json json_of(const Block& b) {
  Json known{{"object", b.object},
             {"layer", name(b.layer)},
             {"thread", b.thread},
             {"first", b.first},
             {"count", b.count}};
  if (b.speed_spm > 0) known["speed_spm"] = b.speed_spm;
  return joined(std::move(known), b.extra);
}

// One item a line.
template <typename T>
std::string list_of(const std::vector<T>& items) {
  std::string out = "[";
  for (const T& item : items) out += (out.size() == 1 ? "\n  " : ",\n  ") + dump(json_of(item));
  return out + "]";
}

// Thousandths of a millimetre without trailing zeros: 12.5, -0.001, 3.
void append_mm(std::string& out, double mm) {
  const long thousandths = std::lround(mm * 1000);
  if (thousandths < 0) out += '-';
  const long size = std::labs(thousandths);
  fmt::format_to(std::back_inserter(out), "{}", size / 1000);
  if (size % 1000 == 0) return;
  fmt::format_to(std::back_inserter(out), ".{:03}", size % 1000);
  while (out.back() == '0') out.pop_back();
}

std::string coordinates_of(const std::vector<double>& mm) {
  std::string out = "[";
  for (const double v : mm) {
    if (out.size() > 1) out += ',';
    append_mm(out, v);
  }
  return out + "]";
}

}  // namespace

std::string write_plan(const Plan& plan) {
  const geometry::Affine& m = plan.placement;
  std::string op;
  for (const Op o : plan.op) op += static_cast<char>(o);
  std::string out = "{\"buckram_plan\":1,\"units\":\"mm\",\"chart\":\"crown\"";
  const auto put = [&out](const char* key, const std::string& value) {
    out += fmt::format(",\n \"{}\":{}", key, value);
  };
  put("job", dump(object_of(plan.job)));
  put("placement",
      dump(joined({{"matrix", {m.a, m.b, m.c, m.d, m.e, m.f}}}, plan.placement_extra)));
  put("threads", list_of(plan.threads));
  put("objects", list_of(plan.objects));
  put("blocks", list_of(plan.blocks));
  std::string stitches = "{\"x\":" + coordinates_of(plan.x) +
                         ",\n  \"y\":" + coordinates_of(plan.y) + ",\n  \"op\":\"" + op + "\"";
  const Json stitches_rest = object_of(plan.stitches_extra), rest = object_of(plan.extra);
  for (const auto& [key, value] : stitches_rest.items()) {
    stitches += ",\n  " + dump(key) + ":" + dump(value);
  }
  put("stitches", stitches + "}");
  for (const auto& [key, value] : rest.items()) {
    out += ",\n " + dump(key) + ":" + dump(value);
  }
  return out + "}\n";
}

Plan read_plan(std::string_view bytes, const std::string& where) {
  const Json json = parse(bytes, where);
  if (!json.is_object()) refuse(where, "not a stitch plan: must be a JSON object");
  Fields fields(json, where);
  check_head(fields, where);
  Plan plan;
  const Json& job = fields.need("job");
  if (!job.is_object()) refuse(fields.at("job"), "must be an object");
  plan.job = job.dump();
  Fields placement(fields.need("placement"), fields.at("placement"));
  plan.placement = read_matrix(placement);
  plan.placement_extra = placement.extra();
  plan.threads = read_list(fields, "threads", kMostThreads, read_thread);
  plan.objects = read_list(fields, "objects", kMostObjects, read_object);
  plan.blocks = read_list(fields, "blocks", kMostEntries, read_block);
  read_stitches(fields.need("stitches"), fields.at("stitches"), plan);
  plan.extra = fields.extra();
  try {
    check_form(plan);
  } catch (const base::Error& error) {
    throw base::within(error, where);
  }
  return plan;
}

}  // namespace buckram::stitch
