// Writes a CalculiX input deck of a thin tube as a structured mesh of S8R shells on the middle of its wall,
// runs the solver and reads displacements back. Lengths mm, forces N.
#pragma once

#include <fmt/format.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "shape/tube.h"

namespace halfround::outside {

using base::Vec2;
using base::Vec3;

/// True where the solver can be started.
inline bool have_calculix() {
  return std::system("command -v ccx > /dev/null 2>&1") == 0;
}

/// A node that moves a rigid set of nodes: movement and turn.
struct Handle {
  int move = 0, turn = 0;
};

class ShellDeck {
 public:
  ShellDeck(double E, double nu) : E_(E), nu_(nu) {}

  /// A tube from s0 to s1 with `around` elements round it and `along` elements along it.
  ///   out  nodes of the first and the last ring
  struct Ends {
    std::vector<int> first, last;
  };
  Ends add_tube(const shape::Tube& tube, double s0, double s1, int around, int along) {
    const shape::Profile inside = tube.profile.inner();
    const int nu = 2 * around, ns = 2 * along;
    std::vector<std::vector<int>> grid(static_cast<std::size_t>(ns) + 1,
                                       std::vector<int>(static_cast<std::size_t>(nu)));
    for (int i = 0; i <= ns; ++i) {
      const double s = s0 + (s1 - s0) * i / ns;
      const shape::Frame f = tube.centreline.at(s);
      for (int j = 0; j < nu; ++j) {
        if (i % 2 == 1 && j % 2 == 1) continue;  // S8R has no node in the middle
        const Vec2 e = base::unit_at(2 * base::kPi * j / nu);
        const shape::Radius outer = tube.profile.at(e, s);
        const double inner = inside.at(e, s).r, r = (outer.r + inner) / 2;
        // square to the wall; between an oval's axes it is a little thinner
        const double wall = (outer.r - inner) * outer.r / std::hypot(outer.r, outer.ru);
        grid[static_cast<std::size_t>(i)][static_cast<std::size_t>(j)] =
            node(f.c + r * (e.x() * f.m + e.y() * f.b), wall);
      }
    }
    const auto at = [&](int i, int j) {
      return grid[static_cast<std::size_t>(i)][static_cast<std::size_t>(j % nu)];
    };
    for (int i = 0; i < ns; i += 2) {
      for (int j = 0; j < nu; j += 2) {
        elements_.push_back({at(i, j), at(i, j + 2), at(i + 2, j + 2), at(i + 2, j), at(i, j + 1),
                             at(i + 1, j + 2), at(i + 2, j + 1), at(i + 1, j)});
      }
    }
    Ends out;
    for (int j = 0; j < nu; ++j) out.first.push_back(at(0, j)), out.last.push_back(at(ns, j));
    return out;
  }

  int node(const Vec3& p, double thickness = 0) {
    nodes_.push_back(p), thickness_.push_back(thickness);
    return static_cast<int>(nodes_.size());
  }
  /// Makes the nodes one rigid body with its handle at p.
  Handle rigid(const std::vector<int>& nodes, const Vec3& p) {
    const Handle h{node(p), node(p)};
    rigid_.push_back({nodes, h});
    return h;
  }
  void hold(int node, int first, int last) { held_.push_back({node, first, last}); }
  void load(int node, int direction, double value) { loads_.push_back({node, direction, value}); }
  /// Asks for the stresses of all elements too (run() leaves them in the .dat file).
  void print_stresses() { stresses_ = true; }
  /// Greatest von Mises stress of the printed run: in the wall's surfaces, and amid the wall, MPa.
  struct Greatest {
    double surface = 0, middle = 0;
  };
  static Greatest greatest_stress(const std::string& folder, const std::string& name, int first, int last) {
    std::ifstream in(folder + "/" + name + ".dat");
    std::map<int, std::map<int, Eigen::Matrix<double, 6, 1>>> by_element;
    bool on = false;
    for (std::string line; std::getline(in, line);) {
      if (line.find("stresses") != std::string::npos) on = true;
      std::istringstream cells(line);
      int element = 0, point = 0;
      Eigen::Matrix<double, 6, 1> s;
      if (on && cells >> element >> point >> s[0] >> s[1] >> s[2] >> s[3] >> s[4] >> s[5])
        by_element[element][point] = s;
    }
    const auto mises = [](const Eigen::Matrix<double, 6, 1>& s) {
      return std::sqrt(0.5 *
                           (std::pow(s[0] - s[1], 2) + std::pow(s[1] - s[2], 2) + std::pow(s[2] - s[0], 2)) +
                       3 * s.tail<3>().squaredNorm());
    };
    Greatest out;
    for (const auto& [element, points] : by_element) {
      if (element < first || element > last) continue;
      for (int k = 1; k <= 4; ++k) {  // below and above one another at 1/sqrt(3) of half the wall
        const auto &lo = points.at(k), &hi = points.at(k + 4);
        const Eigen::Matrix<double, 6, 1> mean = (lo + hi) / 2, half = (hi - lo) / 2 * std::sqrt(3.0);
        out.middle = std::max(out.middle, mises(mean));
        out.surface = std::max({out.surface, mises(mean + half), mises(mean - half)});
      }
    }
    return out;
  }
  [[nodiscard]] std::size_t elements() const { return elements_.size(); }

  /// Writes, runs, reads: displacement of each of `wanted`.
  std::map<int, Vec3> run(const std::string& folder, const std::string& name,
                          const std::vector<int>& wanted) const {
    std::filesystem::create_directories(folder);
    write(folder + "/" + name + ".inp", wanted);
    const std::string command =
        fmt::format("cd '{}' && OMP_NUM_THREADS=1 ccx {} > {}.log 2>&1", folder, name, name);
    if (std::system(command.c_str()) != 0) return {};
    return read(folder + "/" + name + ".dat");
  }

 private:
  struct Rigid {
    std::vector<int> nodes;
    Handle handle;
  };
  struct Held {
    int node, first, last;
  };
  struct Load {
    int node, direction;
    double value;
  };

  static void list(std::ostream& out, const std::vector<int>& nodes) {
    for (std::size_t i = 0; i < nodes.size(); ++i)
      out << nodes[i] << (i % 10 == 9 || i + 1 == nodes.size() ? "\n" : ", ");
  }

  void write(const std::string& path, const std::vector<int>& wanted) const {
    std::ofstream out(path);
    out << "*NODE\n";
    for (std::size_t i = 0; i < nodes_.size(); ++i) {
      out << fmt::format("{}, {:.9f}, {:.9f}, {:.9f}\n", i + 1, nodes_[i].x(), nodes_[i].y(), nodes_[i].z());
    }
    out << "*ELEMENT, TYPE=S8R, ELSET=TUBES\n";
    for (std::size_t i = 0; i < elements_.size(); ++i) {
      out << i + 1;
      for (const int n : elements_[i]) out << ", " << n;
      out << "\n";
    }
    if (stresses_) {
      out << "*ELSET, ELSET=EALL, GENERATE\n1, " << elements_.size() << ", 1\n";
    }
    out << fmt::format("*MATERIAL, NAME=M\n*ELASTIC\n{}, {}\n", E_, nu_);
    // by node, so that no two neighbours differ: where they do, CalculiX makes a rigid knot of their edge
    out << "*SHELL SECTION, ELSET=TUBES, MATERIAL=M, NODAL THICKNESS\n1\n*NODAL THICKNESS\n";
    for (std::size_t i = 0; i < nodes_.size(); ++i) {
      if (thickness_[i] > 0) out << fmt::format("{}, {:.9f}\n", i + 1, thickness_[i]);
    }
    for (std::size_t i = 0; i < rigid_.size(); ++i) {
      out << fmt::format("*NSET, NSET=R{}\n", i);
      list(out, rigid_[i].nodes);
      out << fmt::format("*RIGID BODY, NSET=R{}, REF NODE={}, ROT NODE={}\n", i, rigid_[i].handle.move,
                         rigid_[i].handle.turn);
    }
    out << "*BOUNDARY\n";
    for (const Held& h : held_) out << fmt::format("{}, {}, {}\n", h.node, h.first, h.last);
    out << "*NSET, NSET=WANTED\n";
    list(out, wanted);
    out << "*STEP\n*STATIC\n*CLOAD\n";
    for (const Load& l : loads_) out << fmt::format("{}, {}, {:.9f}\n", l.node, l.direction, l.value);
    out << "*NODE PRINT, NSET=WANTED\nU\n";
    if (stresses_) out << "*EL PRINT, ELSET=EALL\nS\n";
    out << "*END STEP\n";
  }

  static std::map<int, Vec3> read(const std::string& path) {
    std::ifstream in(path);
    std::map<int, Vec3> out;
    for (std::string line; std::getline(in, line);) {
      if (line.find("stresses") != std::string::npos) break;
      std::istringstream cells(line);
      int n = 0;
      Vec3 u;
      if (cells >> n >> u.x() >> u.y() >> u.z()) out[n] = u;
    }
    return out;
  }

  double E_, nu_;
  bool stresses_ = false;
  std::vector<Vec3> nodes_;
  std::vector<double> thickness_;  // of the wall at each node; 0: not on a wall
  std::vector<std::vector<int>> elements_;
  std::vector<Rigid> rigid_;
  std::vector<Held> held_;
  std::vector<Load> loads_;
};

}  // namespace halfround::outside
