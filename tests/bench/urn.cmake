kerfkiln_bench(bench_urn SOURCES urn_bench.cpp urn_peer.cpp LIBS kerfkiln_urn kerfkiln_mesh third_party_occt)
if(KERFKILN_VIEWER)  # a step of a slider ends in the viewer's picture
  kerfkiln_bench(urn_live_bench SOURCES urn_live_bench.cpp LIBS kerfkiln_document kerfkiln_viewer_state)
endif()
