#include "study/handling.h"

#include <Eigen/Eigenvalues>
#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <tuple>

#include "base/maths.h"
#include "base/result.h"
#include "bike/steering.h"

namespace halfround::study {

namespace {

constexpr double kOffsetStep = 5;  // mm, either way: about what another bend or dropout brings
constexpr int kFastest_m_s = 10;   // rows by speed; 36 km/h
constexpr int kCurveSteps = 10;    // of the plot, a m/s

// Inertia per mass where nobody measures it. Body and front frame: the benchmark bicycle's own (its table 1).
constexpr Body kBenchmarkBody{85, 0.3, -0.9, 9.2, 11, 2.8, 2.4};
constexpr Body kBenchmarkSteer{4, 0.9, -0.7, 0.05892, 0.06, 0.00708, -0.00756};
// Wheels: Iyy / (m r^2), the mean of four measured bicycles [Moore, dissertation UC Davis 2012; derived];
// about a diameter half of that [common practice: a thin ring or disc]
constexpr double kFrontWheelInertia = 0.635, kRearWheelInertia = 0.47;

/// Coefficients of det(M x^2 + v C1 x + g K0 + v^2 K2) = a4 x^4 + v b3 x^3 + a2 x^2 + v a1 x + a0, each of
/// the even ones a straight line in v^2: value + v^2 slope.
struct Line {
  double value, slope;
  [[nodiscard]] double at(double vv) const { return value + vv * slope; }
};
struct Characteristic {
  double a4, b3;
  Line a2, b1, a0;
};

/// The part of det(A + B) that is linear in both.
double mixed(const Eigen::Matrix2d& A, const Eigen::Matrix2d& B) {
  return A(0, 0) * B(1, 1) + B(0, 0) * A(1, 1) - A(0, 1) * B(1, 0) - B(0, 1) * A(1, 0);
}

Characteristic characteristic(const LinearModel& q) {
  const Eigen::Matrix2d G = q.gravity_m_s2 * q.K0;
  return {q.M.determinant(),
          mixed(q.M, q.C1),
          {mixed(q.M, G), q.C1.determinant() + mixed(q.M, q.K2)},
          {mixed(q.C1, G), mixed(q.C1, q.K2)},
          {G.determinant(), mixed(G, q.K2)}};  // K2's first column is 0, so its determinant is too
}

/// Hurwitz's third determinant over v^2; 0 where a pair of eigenvalues adds up to 0. A parabola in v^2:
/// b1 a2 b3 - a0 b3^2 - a4 b1^2.
struct Parabola {
  double c, b, a;
  [[nodiscard]] double at(double x) const { return c + x * (b + x * a); }
};
Parabola hurwitz(const Characteristic& p) {
  const auto& [a4, b3, a2, b1, a0] = p;
  return {
      b3 * b1.value * a2.value - b3 * b3 * a0.value - a4 * b1.value * b1.value,
      b3 * (b1.value * a2.slope + b1.slope * a2.value) - b3 * b3 * a0.slope - 2 * a4 * b1.value * b1.slope,
      b3 * b1.slope * a2.slope - a4 * b1.slope * b1.slope};
}

std::vector<double> roots(const Parabola& p) {
  const double d = p.b * p.b - 4 * p.a * p.c;
  if (p.a == 0) return p.b == 0 ? std::vector<double>{} : std::vector<double>{-p.c / p.b};
  if (d < 0) return {};
  // the root that adds up without loss first, the other from the product
  const double h = -0.5 * (p.b + std::copysign(std::sqrt(d), p.b));
  if (h == 0) return {0};
  return {h / p.a, p.c / h};
}

Body scaled(const Body& benchmark, double mass, double x_m, double z_m) {
  const double f = mass / benchmark.mass;
  return {mass,
          x_m,
          z_m,
          f * benchmark.ixx_kg_m2,
          f * benchmark.iyy_kg_m2,
          f * benchmark.izz_kg_m2,
          f * benchmark.ixz_kg_m2};
}

WheelBody wheel(double radius_m, double mass, double inertia) {
  const double iyy = inertia * mass * radius_m * radius_m;
  return {radius_m, mass, iyy / 2, iyy};
}

Steadiness steadiness(const BicycleParts& parts) {
  const LinearModel model = linear_model(benchmark_of(parts));
  return {parts.offset,
          bike::trail(parts.head_angle, parts.offset, parts.front_radius),
          parts.wheelbase,
          weave_speed_m_s(model),
          capsize_speed_m_s(model),
          steady_range(model)};
}

BicycleParts with_offset(BicycleParts parts, double more) {
  parts.offset += more;
  parts.wheelbase += more * std::sin(parts.head_angle);
  parts.front_behind += more * std::sin(parts.head_angle);  // fork and bars stay where they are
  return parts;
}

}  // namespace

LinearModel linear_model(const BenchmarkBicycle& q) {
  base::check(q.wheelbase_m > 0 && q.rear.radius_m > 0 && q.front.radius_m > 0,
              "a bicycle has length and wheels");
  base::check(q.body.mass > 0 && q.front.mass > 0, "a bicycle has mass");
  const auto& [R, F, B, H] = std::tie(q.rear, q.front, q.body, q.steer);
  const double w = q.wheelbase_m, c = q.trail_m;
  const double sin = std::sin(q.steer_tilt), cos = std::cos(q.steer_tilt);

  // the whole bicycle
  const double m_T = R.mass + B.mass + H.mass + F.mass;
  const double x_T = (B.x_m * B.mass + H.x_m * H.mass + w * F.mass) / m_T;
  const double z_T = (-R.radius_m * R.mass + B.z_m * B.mass + H.z_m * H.mass - F.radius_m * F.mass) / m_T;
  const double T_xx = R.ixx_kg_m2 + B.ixx_kg_m2 + H.ixx_kg_m2 + F.ixx_kg_m2 +
                      R.mass * R.radius_m * R.radius_m + B.mass * B.z_m * B.z_m + H.mass * H.z_m * H.z_m +
                      F.mass * F.radius_m * F.radius_m;
  const double T_xz =
      B.ixz_kg_m2 + H.ixz_kg_m2 - B.mass * B.x_m * B.z_m - H.mass * H.x_m * H.z_m + F.mass * w * F.radius_m;
  const double T_zz = R.ixx_kg_m2 + B.izz_kg_m2 + H.izz_kg_m2 + F.ixx_kg_m2 + B.mass * B.x_m * B.x_m +
                      H.mass * H.x_m * H.x_m + F.mass * w * w;

  // the front assembly: front frame and wheel
  const double m_A = H.mass + F.mass;
  const double x_A = (H.x_m * H.mass + w * F.mass) / m_A, z_A = (H.z_m * H.mass - F.radius_m * F.mass) / m_A;
  const double hx = H.x_m - x_A, hz = H.z_m - z_A, fx = w - x_A, fz = F.radius_m + z_A;
  const double A_xx = H.ixx_kg_m2 + F.ixx_kg_m2 + H.mass * hz * hz + F.mass * fz * fz;
  const double A_xz = H.ixz_kg_m2 - H.mass * hx * hz + F.mass * fx * fz;
  const double A_zz = H.izz_kg_m2 + F.ixx_kg_m2 + H.mass * hx * hx + F.mass * fx * fx;
  const double u_A = (x_A - w - c) * cos - z_A * sin;  // its centre ahead of the steering axis
  const double A_ll = m_A * u_A * u_A + A_xx * sin * sin + 2 * A_xz * sin * cos + A_zz * cos * cos;
  const double A_lx = -m_A * u_A * z_A + A_xx * sin + A_xz * cos;
  const double A_lz = m_A * u_A * x_A + A_xz * sin + A_zz * cos;

  // what steering does to the rear frame, the wheels' spin, the static moment
  const double mu = c / w * cos;
  const double S_R = R.iyy_kg_m2 / R.radius_m, S_F = F.iyy_kg_m2 / F.radius_m, S_T = S_R + S_F;
  const double S_A = m_A * u_A + mu * m_T * x_T;

  LinearModel out;
  out.gravity_m_s2 = q.gravity_m_s2;
  const double M_12 = A_lx + mu * T_xz;
  out.M << T_xx, M_12, M_12, A_ll + 2 * mu * A_lz + mu * mu * T_zz;
  out.K0 << m_T * z_T, -S_A, -S_A, -S_A * sin;
  out.K2 << 0, (S_T - m_T * z_T) / w * cos, 0, (S_A + S_F * sin) / w * cos;
  out.C1 << 0, mu * S_T + S_F * cos + T_xz / w * cos - mu * m_T * z_T, -(mu * S_T + S_F * cos),
      A_lz / w * cos + mu * (S_A + T_zz / w * cos);
  return out;
}

std::array<std::complex<double>, 4> eigenvalues(const LinearModel& model, double v) {
  const Eigen::Matrix2d inverse = model.M.inverse();
  Eigen::Matrix4d state = Eigen::Matrix4d::Zero();
  state.topRightCorner<2, 2>().setIdentity();
  state.bottomLeftCorner<2, 2>() = -inverse * (model.gravity_m_s2 * model.K0 + v * v * model.K2);
  state.bottomRightCorner<2, 2>() = -inverse * (v * model.C1);
  const Eigen::EigenSolver<Eigen::Matrix4d> solver(state, false);
  base::check(solver.info() == Eigen::Success, "a 4 x 4 matrix has eigenvalues");
  std::array<std::complex<double>, 4> out;
  for (int i = 0; i < 4; ++i) out[static_cast<std::size_t>(i)] = solver.eigenvalues()[i];
  std::sort(out.begin(), out.end(), [](const auto& a, const auto& b) {
    return a.real() != b.real() ? a.real() > b.real() : a.imag() > b.imag();
  });
  return out;
}

bool steady_at(const LinearModel& model, double v) {
  const Characteristic p = characteristic(model);
  const double vv = v * v;
  return v > 0 && p.a4 > 0 && p.b3 > 0 && p.a2.at(vv) > 0 && p.b1.at(vv) > 0 && p.a0.at(vv) > 0 &&
         hurwitz(p).at(vv) > 0;
}

std::optional<double> weave_speed_m_s(const LinearModel& model) {
  const Characteristic p = characteristic(model);
  std::optional<double> out;
  for (const double vv : roots(hurwitz(p))) {
    // only there a pair on the imaginary axis; else two real ones of opposite sign
    if (vv > 0 && p.b1.at(vv) / p.b3 > 0) out = std::max(out.value_or(0), std::sqrt(vv));
  }
  return out;
}

std::optional<double> capsize_speed_m_s(const LinearModel& model) {
  const Characteristic p = characteristic(model);
  const double vv = -p.a0.value / p.a0.slope;
  return std::isfinite(vv) && vv > 0 ? std::optional(std::sqrt(vv)) : std::nullopt;
}

std::optional<SpeedRange> steady_range(const LinearModel& model) {
  // nothing changes but where a root passes the imaginary axis
  std::vector<double> ends{0};
  if (const auto v = capsize_speed_m_s(model)) ends.push_back(*v);
  for (const double vv : roots(hurwitz(characteristic(model)))) {
    if (vv > 0) ends.push_back(std::sqrt(vv));
  }
  std::sort(ends.begin(), ends.end());
  for (std::size_t i = 0; i + 1 < ends.size(); ++i) {
    if (steady_at(model, (ends[i] + ends[i + 1]) / 2)) return SpeedRange{ends[i], ends[i + 1]};
  }
  if (steady_at(model, 2 * ends.back() + 1)) return SpeedRange{ends.back(), std::nullopt};
  return std::nullopt;
}

BenchmarkBicycle benchmark_of(const BicycleParts& p) {
  constexpr double kMetre = 1000;  // mm
  BenchmarkBicycle out;
  out.wheelbase_m = p.wheelbase / kMetre;
  out.trail_m = bike::trail(p.head_angle, p.offset, p.front_radius) / kMetre;
  out.steer_tilt = base::kPi / 2 - p.head_angle;
  out.rear = wheel(p.rear_radius / kMetre, p.rear_wheel_mass, kRearWheelInertia);
  out.front = wheel(p.front_radius / kMetre, p.front_wheel_mass, kFrontWheelInertia);
  const double mass = p.rider_mass + p.frame_mass;
  out.body = scaled(kBenchmarkBody, mass,
                    (p.rider_mass * p.rider_ahead + p.frame_mass * p.frame_ahead) / mass / kMetre,
                    -(p.rider_mass * p.rider_height + p.frame_mass * p.frame_height) / mass / kMetre);
  out.steer = scaled(kBenchmarkSteer, p.front_mass, (p.wheelbase - p.front_behind) / kMetre,
                     -p.front_height / kMetre);
  return out;
}

namespace {

/// A guess and how far off it may be [common practice: nobody measures a rider's centre; our own judgement].
struct Guess {
  double BicycleParts::*of;
  double by, share;  // mm or kg, and share of the value
};
constexpr Guess kGuesses[] = {{&BicycleParts::rider_height, 50, 0},     {&BicycleParts::rider_ahead, 30, 0},
                              {&BicycleParts::frame_height, 30, 0},     {&BicycleParts::frame_ahead, 30, 0},
                              {&BicycleParts::front_height, 50, 0},     {&BicycleParts::front_behind, 20, 0},
                              {&BicycleParts::front_mass, 0, 0.1},      {&BicycleParts::rider_mass, 0, 0.05},
                              {&BicycleParts::front_wheel_mass, 0, 0.1}};

Uncertainty uncertainty(const BicycleParts& parts) {
  double weave = 0, capsize = 0;
  bool weave_stays = true, capsize_stays = true;
  const auto add = [](const std::optional<double>& up, const std::optional<double>& down, double& sum,
                      bool& stays) {
    if (!up || !down) return void(stays = false);
    sum += (*up - *down) * (*up - *down) / 4;
  };
  for (const Guess& g : kGuesses) {
    BicycleParts more = parts, less = parts;
    const double by = g.by + g.share * parts.*g.of;
    more.*g.of += by, less.*g.of -= by;
    const LinearModel up = linear_model(benchmark_of(more)), down = linear_model(benchmark_of(less));
    add(weave_speed_m_s(up), weave_speed_m_s(down), weave, weave_stays);
    add(capsize_speed_m_s(up), capsize_speed_m_s(down), capsize, capsize_stays);
  }
  Uncertainty out;
  if (weave_stays) out.weave_m_s = std::sqrt(weave);
  if (capsize_stays) out.capsize_m_s = std::sqrt(capsize);
  return out;
}

}  // namespace

Handling handling(const BicycleParts& p) {
  Handling out;
  out.mass = p.rider_mass + p.frame_mass + p.front_mass + p.rear_wheel_mass + p.front_wheel_mass;
  out.centre_ahead = (p.rider_mass * p.rider_ahead + p.frame_mass * p.frame_ahead +
                      p.front_mass * (p.wheelbase - p.front_behind) + p.front_wheel_mass * p.wheelbase) /
                     out.mass;
  out.centre_height =
      (p.rider_mass * p.rider_height + p.frame_mass * p.frame_height + p.front_mass * p.front_height +
       p.rear_wheel_mass * p.rear_radius + p.front_wheel_mass * p.front_radius) /
      out.mass;
  out.drawn = steadiness(p);
  out.by_guesses = uncertainty(p);
  for (const double more : {-kOffsetStep, 0.0, kOffsetStep})
    out.by_offset.push_back(steadiness(with_offset(p, more)));
  const LinearModel model = linear_model(benchmark_of(p));
  for (int i = 0; i <= kCurveSteps * kFastest_m_s; ++i) {
    const double v = double(i) / kCurveSteps;
    out.curve.push_back({v, eigenvalues(model, v)});
    if (i % kCurveSteps == 0) out.by_speed.push_back(out.curve.back());
  }
  return out;
}

}  // namespace halfround::study
