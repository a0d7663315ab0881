#include "engine/building/looseness.h"

#include <Eigen/QR>
#include <cassert>
#include <cmath>

#include "engine/structure/hinge.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace

Looseness::Looseness(const Structure& structure)
    : structure_(structure),
      scales_(make_body_scales(structure.bodies)),
      joints_of_(structure.bodies.size()),
      place_(structure.bodies.size(), -1),
      piece_(structure.bodies.size()) {
  for (std::size_t n = 0; n < structure.joints.size(); ++n)
    for (const int body : structure.joints[n].panels)
      joints_of_[at(body)].push_back(static_cast<int>(n));
}

int Looseness::find_piece(int body) const {
  while (piece_[at(body)] != body) body = piece_[at(body)];
  return body;
}

void Looseness::add_body(int body) {
  assert(place_[at(body)] < 0);
  const Eigen::Index rows = motions_.rows(), columns = motions_.cols();
  motions_.conservativeResize(rows + 6, columns + 6);
  motions_.bottomRows(6).setZero();
  motions_.rightCols(6).setZero();
  motions_.bottomRightCorner(6, 6).setIdentity();
  place_[at(body)] = added_++;
  piece_[at(body)] = body;
  ++pieces_;

  std::vector<int> joints;
  for (const int n : joints_of_[at(body)]) {
    const Joint& joint = structure_.joints[at(n)];
    const int mate = joint.panels[0] == body ? joint.panels[1] : joint.panels[0];
    if (mate == body || place_[at(mate)] < 0) continue;
    joints.push_back(n);
    const int own = find_piece(body), other = find_piece(mate);
    if (own != other) piece_[at(own)] = other, --pieces_;
  }
  if (joints.empty()) return;
  // How each motion opens the joints: its columns are what the joints do not bear.
  Eigen::MatrixXd openings(motions_.cols(), 6 * static_cast<Eigen::Index>(joints.size()));
  double scale = 0;
  for (std::size_t k = 0; k < joints.size(); ++k) {
    const Joint& joint = structure_.joints[at(joints[k])];
    Eigen::MatrixXd opening = Eigen::MatrixXd::Zero(6, motions_.cols());
    for (const int s : {0, 1}) {
      const int panel = joint.panels[s];
      const HingeRows hinge = make_hinge_rows(scales_[at(panel)], joint.from_mm, joint.to_mm, 0);
      scale = std::max(scale, hinge.norm());
      opening += (s == 0 ? 1.0 : -1.0) * hinge.topRows<6>() *
                 motions_.middleRows(6 * place_[at(panel)], 6);
    }
    openings.middleCols(6 * static_cast<Eigen::Index>(k), 6) = opening.transpose();
  }
  const Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(openings);
  const double least = std::sqrt(free_motion_limit) * scale;
  Eigen::Index rank = 0;
  const Eigen::Index most = std::min(openings.rows(), openings.cols());
  while (rank < most && std::abs(qr.matrixR()(rank, rank)) > least) ++rank;
  motions_.applyOnTheRight(qr.householderQ().setLength(rank));
  motions_ = motions_.rightCols(motions_.cols() - rank).eval();
}

void Looseness::add(const std::vector<int>& bodies) {
  for (const int body : bodies) add_body(body);
}

int Looseness::internal_dof() const { return static_cast<int>(motions_.cols()) - 6 * pieces_; }

}  // namespace sixtyfold
