// plan.json: written, read, written again; and what is refused.
#include "stitch/plans.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace buckram::stitch::tests {
namespace {

Plan with_job(Plan plan) {
  plan.job = R"({"artwork":{"file":"crest.svg"},"seed":1,"cap":{"name":"Ünïcode"}})";
  plan.placement = {0.25, 0, 0, -0.25, -12.3456789, 71.1};
  return plan;
}

std::string refusal(std::string_view bytes) {
  try {
    read_plan(bytes, "p.json");
  } catch (const base::Error& error) {
    EXPECT_EQ(error.code, base::ErrorCode::bad_stitches);
    return base::message(error);
  }
  return "";
}

TEST(PlanFile, WritingWhatWasReadGivesTheSameBytes) {
  int n_entries = 0;
  for (std::uint64_t seed = 1; seed <= 200; ++seed) {
    SCOPED_TRACE(seed);
    const Plan plan = with_job(random_plan(seed));
    const std::string bytes = write_plan(plan);
    const Plan again = read_plan(bytes, "p.json");
    EXPECT_EQ(write_plan(again), bytes);
    EXPECT_EQ(again.x, plan.x);  // to the last bit
    EXPECT_EQ(again.y, plan.y);
    EXPECT_EQ(again.op, plan.op);
    EXPECT_EQ(again.placement, plan.placement);
    n_entries += plan.size();
  }
  EXPECT_GT(n_entries, 3000);
}

TEST(PlanFile, KeepsAThreadsOwnNumber) {
  Plan plan = with_job(sound_plan());
  plan.threads[1].number = "H01";
  const nlohmann::json j = nlohmann::json::parse(write_plan(plan));
  EXPECT_EQ(j["threads"][1]["number"], "H01");
  EXPECT_FALSE(j["threads"][0].contains("number")) << "none, none written";
  EXPECT_EQ(read_plan(write_plan(plan), "p.json").threads[1].number, "H01");
}

// The field table of docs/plan-file.md, as an independent reader sees it.
TEST(PlanFile, HasTheFieldsOfTheContract) {
  const nlohmann::json j = nlohmann::json::parse(write_plan(with_job(sound_plan())));
  EXPECT_EQ(j["buckram_plan"], 1);
  EXPECT_EQ(j["units"], "mm");
  EXPECT_EQ(j["chart"], "crown");
  EXPECT_EQ(j["job"]["seed"], 1);
  EXPECT_EQ(j["placement"]["matrix"], (std::vector<double>{0.25, 0, 0, -0.25, -12.3456789, 71.1}));
  EXPECT_EQ(j["threads"][1]["name"], "Chalk");
  EXPECT_EQ(j["threads"][1]["rgb"], "#f4f1e8");
  EXPECT_EQ(j["threads"][1]["tex"], 27.0);
  EXPECT_EQ(j["threads"][1]["needle"], 2);
  EXPECT_EQ(j["objects"][1]["kind"], "column");
  EXPECT_EQ(j["objects"][1]["source"], "mast");
  EXPECT_EQ(j["blocks"][0]["layer"], "lock");
  EXPECT_EQ(j["blocks"][0]["first"], 0);
  EXPECT_EQ(j["stitches"]["op"].get<std::string>().substr(0, 4), "ssss");
  EXPECT_EQ(j["stitches"]["x"].size(), j["stitches"]["op"].get<std::string>().size());
}

TEST(PlanFile, KeepsUnknownFieldsAtEveryLevelInTheirOrder) {
  nlohmann::ordered_json j = nlohmann::ordered_json::parse(write_plan(with_job(sound_plan())));
  const nlohmann::ordered_json extra = {{"zeta", {1, 2.5, nullptr}}, {"alpha", {{"deep", true}}}};
  for (auto* level : {&j, &j["placement"], &j["threads"][0], &j["objects"][1], &j["blocks"][2],
                      &j["stitches"], &j["job"]}) {
    level->update(extra);
  }
  const std::string once = write_plan(read_plan(j.dump(), "p.json"));
  const nlohmann::ordered_json k = nlohmann::ordered_json::parse(once);
  for (const auto* level : {&k, &k["placement"], &k["threads"][0], &k["objects"][1],
                            &k["blocks"][2], &k["stitches"], &k["job"]}) {
    EXPECT_EQ((*level)["zeta"], extra["zeta"]);
    EXPECT_EQ((*level)["alpha"], extra["alpha"]);
    EXPECT_EQ(std::prev(level->end()).key(), "alpha");
  }
  EXPECT_EQ(write_plan(read_plan(once, "p.json")), once);
}

struct Broken {
  const char* name;
  std::string bytes;
  const char* says;
};

std::string changed(const std::string& from, const std::string& to) {
  std::string bytes = write_plan(with_job(sound_plan()));
  const std::size_t at = bytes.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return bytes.replace(at, from.size(), to);
}

TEST(PlanFile, BadInputIsRefusedWithPlaceAndReason) {
  const std::string good = write_plan(with_job(sound_plan()));
  const Broken cases[] = {
      {"empty", "", "not JSON"},
      {"text", "hello", "not JSON"},
      {"truncated", good.substr(0, good.size() / 2), "not JSON"},
      {"trailing", good + "x", "not JSON"},
      {"list", "[1,2]", "must be a JSON object"},
      {"another file", "{\"a\":1}", "not a stitch plan"},
      {"version 2", changed("\"buckram_plan\":1", "\"buckram_plan\":2"), "from 1 to 1"},
      {"version text", changed("\"buckram_plan\":1", "\"buckram_plan\":\"1\""), "from 1 to 1"},
      {"inches", changed("\"units\":\"mm\"", "\"units\":\"in\""), "must be \"mm\""},
      {"chart", changed("\"crown\"", "\"sleeve\""), "must be \"crown\""},
      {"job list", changed("\"job\":{", "\"job\":[],\"jab\":{"), "must be an object"},
      {"five numbers", changed("[0.25,0.0,", "[0.25,"), "six numbers"},
      {"matrix text", changed("[0.25,", "[\"a\","), "six numbers"},
      {"huge number", changed("[0.25,", "[1e999,"), "not JSON"},
      {"matrix too large", changed("[0.25,", "[1e300,"), "six numbers"},
      {"colour", changed("#1f4e79", "#1f4e7"), "must be a colour"},
      {"tex", changed("27.0", "0"), "from 1 to 1000"},
      {"thread number", changed("\"needle\":1", "\"needle\":1,\"number\":7"), "must be text"},
      {"empty thread number", changed("\"needle\":1", "\"needle\":1,\"number\":\"\""),
       "is empty; leave it out"},
      {"needle", changed("\"needle\":1", "\"needle\":0"), "from 1 to 1000"},
      {"needle fraction", changed("\"needle\":1", "\"needle\":1.5"), "whole number"},
      {"needle 64 bit", changed("\"needle\":1", "\"needle\":18446744073709551615"), "whole number"},
      {"kind", changed("\"fill\"", "\"blob\""), "one of column, fill, run"},
      {"layer", changed("\"lock\"", "\"upper\""), "one of under, top, lock, travel"},
      {"missing", changed("\"source\":\"hull\"", "\"sauce\":\"hull\""),
       "field `source` is missing"},
      {"source number", changed("\"hull\"", "7"), "must be text"},
      {"no thread", changed("\"thread\":0", "\"thread\":5"), "does not exist"},
      {"negative thread", changed("\"thread\":0", "\"thread\":-1"), "whole number"},
      {"op letter", changed("\"op\":\"s", "\"op\":\"z"), "must be one of smtcpe"},
      {"short op", changed("\"op\":\"s", "\"op\":\""), "one length"},
      {"x text", changed("\"x\":[0", "\"x\":[\"0\""), "x[0]: must be a number"},
      {"x far", changed("\"x\":[0", "\"x\":[1e8"), "within 2000 mm"},
      {"block first", changed("\"first\":0", "\"first\":1"), "do not cover"},
      {"deep", std::string(100, '['), "nested deeper"},
      {"invalid utf-8", changed("hull", "\xff\xfe"), "not JSON"},
  };
  for (const Broken& broken : cases) {
    const std::string said = refusal(broken.bytes);
    EXPECT_NE(said.find(broken.says), std::string::npos) << broken.name << ": " << said;
    EXPECT_EQ(said.find("p.json"), 0u) << broken.name << ": " << said;
  }
}

TEST(PlanFile, AnObjectWithEndlessFieldsIsRefusedAtOnce) {
  std::string bytes = "{\"buckram_plan\":1";
  for (int k = 0; k < 200000; ++k) bytes += ",\"k" + std::to_string(k) + "\":0";
  EXPECT_NE(refusal(bytes + "}").find("more than 256 fields"), std::string::npos);
}

}  // namespace
}  // namespace buckram::stitch::tests
