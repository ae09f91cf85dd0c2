kerfkiln_bench(bench_plane SOURCES plane_bench.cpp plane_peer.cpp LIBS kerfkiln_plane third_party_cgal)
