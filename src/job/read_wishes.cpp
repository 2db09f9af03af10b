// What the offset is made of, and the two wishes.
#include <fmt/format.h>

#include "job/read_sections.h"

namespace halfround::job {

Shares read_shares(TableReader& r, const Spot& root, Job& job) {
  const Spot s = r.section(root, "shares");
  Shares out;
  const auto read = [&](Share share, std::string_view name) {
    const Spot spot = r.in(s, name);
    bool remainder = false;
    auto given = r.share(spot, remainder);
    if (remainder && out.remainder) {
      r.complain("remainder-twice", r.place(spot),
                 fmt::format("A second share, {}, takes the remainder.", spot.key),
                 "Let one share take the remainder and give the others a length.");
    } else if (remainder) {
      out.remainder = share;
    }
    return given;
  };
  out.tilt = read(Share::tilt, "tilt");
  out.mitre_offset = read(Share::mitre_offset, "mitre_offset");
  static_cast<void>(read(Share::rake, "rake"));
  out.dropout_lead = read(Share::dropout_lead, "dropout_lead");
  const auto assume = [&](Share share, std::string_view key, std::optional<Quantity>& given) {
    if (job.lines.contains(std::string(key))) return;
    if (share != Share::mitre_offset || !row_of(job.crown.kind).own_place) job.assumed.emplace_back(key);
    if (share == Share::tilt && !out.remainder) {
      out.remainder = share;
    } else {
      given = Quantity{0, "0", false};
    }
  };
  assume(Share::tilt, "shares.tilt", out.tilt);
  assume(Share::mitre_offset, "shares.mitre_offset", out.mitre_offset);
  assume(Share::dropout_lead, "shares.dropout_lead", out.dropout_lead);
  return out;
}

namespace {

/// Two wishes of one section; a socket crown has the spacing of its sockets and leaves one.
std::vector<Wished> read_two(TableReader& r, const Spot& s, const std::string& key, bool socket) {
  std::vector<Wished> out;
  std::string named;
  int n = 0;
  for (const base::Word<Wish>& wish : layout::kWishes) {
    const Spot spot = r.in(s, wish.key);
    if (spot.node == nullptr) continue;
    ++n;
    named += fmt::format("{}{}", named.empty() ? "" : ", ", wish.key);
    out.push_back({wish.value, r.quantity(spot)});
  }
  if (socket && n != 1) {
    r.complain(
        "wishes-not-two", {r.place(s).file, r.place(s).line, r.place(s).column, key},
        fmt::format("Found {} wish{}{}{}.", n == 0 ? "no" : fmt::format("{}", n), n == 1 ? "" : "es",
                    n == 0 ? "" : ": ", named),
        "A socket crown gives where the blades stand and leaves one length open: wish for one of lower_trim, "
        "upper_trim, clearance, splay, top_angle.");
  } else if (!socket && n != 2) {
    r.complain("wishes-not-two", {r.place(s).file, r.place(s).line, r.place(s).column, key},
               fmt::format("Found {} wish{}{}{}.", n == 0 ? "no" : fmt::format("{}", n), n == 1 ? "" : "es",
                           n == 0 ? "" : ": ", named),
               "A blade leaves two lengths open: wish for exactly two of clearance, crown_height, top_angle, "
               "splay, lower_trim, upper_trim, spacing.");
  }
  return out;
}

}  // namespace

/// A side with a section of its own has both its wishes there.
Wishes read_wishes(TableReader& r, const Spot& root, bool socket) {
  const Spot s = r.section(root, "wishes");
  const Spot left = r.section(s, "left"), right = r.section(s, "right");
  Wishes out;
  out.two =
      left.node != nullptr ? read_two(r, left, "wishes.left", socket) : read_two(r, s, "wishes", socket);
  if (right.node != nullptr) {
    out.right = read_two(r, right, "wishes.right", socket);
  } else if (left.node != nullptr) {
    out.right = read_two(r, s, "wishes", socket);
  }
  out.lean_to = r.quantity(r.in(s, "lean_to"));
  return out;
}

}  // namespace halfround::job
