#include "exchange/exchange.h"

#include "exchange/csv_tables.h"
#include "exchange/cut_patterns.h"
#include "exchange/cut_svg.h"
#include "exchange/dxf.h"
#include "exchange/rotary_code.h"
#include "solve/notes.h"

namespace halfround::exchange {
namespace {

void put_drawings(std::vector<sheet::File>& out, const std::vector<CutDrawing>& drawings,
                  const shop::CutLines& lines) {
  for (const CutDrawing& d : drawings) {
    out.push_back({"cut/" + d.stem + ".dxf", to_dxf(d, lines), d.title});
    out.push_back({"cut/" + d.stem + ".svg", to_cut_svg(d, lines), d.title});
  }
}

void put_rotary(std::vector<sheet::File>& out, const solve::Answer& answer, const shop::RotaryTool& tool) {
  for (const study::Mitre& m : answer.mitres) {
    const shop::RotaryPath path = shop::rotary_path(answer.fork.assembly, m, tool);
    const std::string words = bike::spoken(m.member, m.end);
    const std::string why = path.why_not();
    std::string stem = "cut/rotary-";
    for (const char c : words) {
      if (c == ' ') stem += '-';
      if (c != ' ' && c != ',') stem += c;
    }
    out.push_back({stem + ".csv", to_csv(rotary_table(path)),
                   "Path for a rotary axis, " + words + (why.empty() ? "" : "; no code: " + why)});
    if (why.empty()) {
      out.push_back({stem + ".nc", rotary_code(answer, path),
                     "Path for a rotary axis as ISO 6983 code, " + words +
                         (path.mills ? ": mills" : ": marks the line, cuts nothing")});
    }
  }
}

void put_tables(std::vector<sheet::File>& out, const std::vector<CsvTable>& tables) {
  for (const CsvTable& t : tables) out.push_back({"tables/" + t.stem + ".csv", to_csv(t), t.what});
}

}  // namespace

std::vector<sheet::File> exchange_files(const job::Job& job, const solve::Answer& answer,
                                        const solve::ShopPlan* plan, const shop::Shop& shop) {
  std::vector<sheet::File> out;
  put_drawings(out, cut_patterns(job, answer, plan), shop.cut_lines);
  put_rotary(out, answer, shop.rotary);
  put_tables(out, answer_tables(answer));
  if (plan) put_tables(out, shop_tables(*plan));
  return out;
}

}  // namespace halfround::exchange
