kerfkiln_bench(bench_urn SOURCES urn_bench.cpp urn_peer.cpp LIBS kerfkiln_urn kerfkiln_mesh third_party_occt)
