kerfkiln_bench(cushion_bench SOURCES cushion_bench.cpp LIBS kerfkiln_form kerfkiln_solid third_party_occt)
kerfkiln_bench(cut_bench SOURCES cut_bench.cpp cut_peer.cpp LIBS kerfkiln_cushion third_party_occt)
if(KERFKILN_VIEWER)  # a step of a slider ends in the viewer's picture
  kerfkiln_bench(live_bench SOURCES live_bench.cpp LIBS kerfkiln_document kerfkiln_viewer_state)
endif()
