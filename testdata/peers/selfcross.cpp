// Asks CGAL (Debian libcgal-dev) whether binary STL files are sound solids. One line a file, in the order given:
//
//   facets N vertices N surface 0|1 closed 0|1 outward 0|1 flat N crossing N parts N
//
// Corners with the same coordinates are one vertex. surface: the facets join into an oriented 2-manifold; if they do
// not, nothing else can be asked and the rest is -1. flat: facets without area. crossing: pairs of facets that meet
// elsewhere than in a shared corner or edge. Predicates are exact on the float32 numbers in the file, so every answer is.
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/connected_components.h>
#include <CGAL/Polygon_mesh_processing/orientation.h>
#include <CGAL/Polygon_mesh_processing/polygon_soup_to_polygon_mesh.h>
#include <CGAL/Polygon_mesh_processing/self_intersections.h>
#include <CGAL/Polygon_mesh_processing/shape_predicates.h>
#include <CGAL/Surface_mesh.h>
#include <CGAL/boost/graph/helpers.h>

#include <array>
#include <cstdint>
#include <cstdio>
#include <cstring>
#include <fstream>
#include <iterator>
#include <map>
#include <stdexcept>
#include <string>
#include <vector>

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Point = Kernel::Point_3;
using Surface = CGAL::Surface_mesh<Point>;
namespace pmp = CGAL::Polygon_mesh_processing;

struct Soup {
  std::vector<Point> points;
  std::vector<std::array<std::size_t, 3>> facets;
};

// load reads a binary STL: 80 bytes of text, a count, and 50 bytes a facet. The machine is taken to be little-endian, as
// the format is.
Soup load(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::vector<char> bytes{std::istreambuf_iterator<char>(in), {}};
  std::uint32_t count = 0;
  if (bytes.size() >= 84) std::memcpy(&count, &bytes[80], 4);
  if (bytes.size() < 84 || bytes.size() != 84 + 50 * std::size_t(count)) throw std::runtime_error(path + ": no binary STL");
  Soup soup;
  std::map<std::array<float, 3>, std::size_t> number;
  for (std::uint32_t f = 0; f < count; f++) {
    std::array<std::size_t, 3> facet;
    for (int k = 0; k < 3; k++) {
      std::array<float, 3> p;
      std::memcpy(p.data(), &bytes[84 + 50 * std::size_t(f) + 12 + 12 * k], 12);
      auto [it, fresh] = number.emplace(p, soup.points.size());
      if (fresh) soup.points.emplace_back(p[0], p[1], p[2]);
      facet[k] = it->second;
    }
    soup.facets.push_back(facet);
  }
  return soup;
}

int flatFacets(const Surface& s) {
  int n = 0;
  for (auto f : faces(s)) n += pmp::is_degenerate_triangle_face(f, s);
  return n;
}

std::size_t crossings(const Surface& s) {
  std::vector<std::pair<Surface::Face_index, Surface::Face_index>> pairs;
  pmp::self_intersections<CGAL::Sequential_tag>(faces(s), s, std::back_inserter(pairs));
  return pairs.size();
}

std::size_t parts(const Surface& s) {
  std::vector<std::size_t> part(num_faces(s));
  auto of = boost::make_iterator_property_map(part.begin(), get(boost::face_index, s));
  return pmp::connected_components(s, of);
}

void report(const std::string& path) {
  Soup soup = load(path);
  std::printf("facets %zu vertices %zu ", soup.facets.size(), soup.points.size());
  if (!pmp::is_polygon_soup_a_polygon_mesh(soup.facets)) {
    std::puts("surface 0 closed -1 outward -1 flat -1 crossing -1 parts -1");
    return;
  }
  Surface s;
  pmp::polygon_soup_to_polygon_mesh(soup.points, soup.facets, s);
  bool closed = CGAL::is_closed(s);
  std::printf("surface 1 closed %d outward %d flat %d crossing %zu parts %zu\n", closed, closed && pmp::is_outward_oriented(s),
              flatFacets(s), crossings(s), parts(s));
}

int main(int argc, char** argv) try {
  for (int i = 1; i < argc; i++) report(argv[i]);
} catch (const std::exception& e) {
  std::fprintf(stderr, "selfcross: %s\n", e.what());
  return 1;
}
