//! The examples of the library, as they stand in `examples/`: each runs to its end.

#[path = "../examples/depth_sweep.rs"]
mod depth_sweep;
#[path = "../examples/one_layer.rs"]
mod one_layer;
#[path = "../examples/own_dryer.rs"]
mod own_dryer;
#[path = "../examples/readings.rs"]
mod readings;
#[path = "../examples/six_trays.rs"]
mod six_trays;

#[test]
fn every_example_runs() {
    one_layer::main().unwrap();
    six_trays::main().unwrap();
    depth_sweep::main().unwrap();
    own_dryer::main().unwrap();
    readings::main().unwrap();
}
